// Broken, strange and hostile files: each is refused with a message or read, in bounded time.
#include "artwork/artwork.h"
#include "base/base.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <ctime>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>

namespace buckram::artwork {
namespace {

const std::string kHead = "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 100 100'>";
const std::string kShape = "<path d='M1 1h90v90z'/>";

std::string repeated(const std::string& text, int n) {
  std::string out;
  out.reserve(text.size() * static_cast<std::size_t>(n));
  for (int i = 0; i < n; ++i) out += text;
  return out;
}

// The whole way to regions. Empty when the file was taken, else the message.
std::string outcome(const std::string& svg) {
  try {
    const Drawing drawing = read_svg(svg, "h.svg");
    const double scale = 45 / std::max(drawing.painted.height(), 1e-6);
    visible_regions(drawing, placement_matrix(drawing, {{0, 40}, scale}), {{"a", "", {}, 27}});
    return "";
  } catch (const base::Error& error) {
    EXPECT_EQ(error.code, base::ErrorCode::bad_artwork) << error.what;
    EXPECT_FALSE(error.what.empty());
    EXPECT_FALSE(error.where.empty()) << error.what;
    EXPECT_FALSE(error.hint.empty()) << error.what;
    return base::message(error);
  }
}

struct Case {
  const char* name;
  std::string svg;
  const char* word;  // in the refusal; "" when the file is taken
};

std::vector<Case> refusals() {
  std::string laughs = "<!DOCTYPE svg [<!ENTITY a0 'ha'>";
  for (int i = 1; i < 12; ++i)
    laughs += fmt::format("<!ENTITY a{} '{}'>", i, repeated(fmt::format("&a{};", i - 1), 10));
  laughs += "]>" + kHead + "<path id='&a11;' d='M0 0h9v9z'/></svg>";
  std::string chain = kHead + "<g id='b0'>" + kShape + "</g>";
  for (int i = 1; i < 30; ++i)
    chain += fmt::format("<g id='b{0}'><use href='#b{1}'/><use href='#b{1}'/></g>", i, i - 1);
  return {
      {"empty", "", "empty"},
      {"text", "hello", "not an XML file"},
      {"blanks", "  \n ", "not an XML file"},
      {"cut off", kHead + "<path d='M0 0", "line 1"},
      {"not closed", kHead + kShape, "not well-formed"},
      {"html", "<html><body/></html>", "starts with <html>"},
      {"png", std::string("\x89PNG\r\n\x1a\n", 8), "PNG"},
      {"jpeg", "\xff\xd8\xff\xe0", "JPEG"},
      {"pdf", "%PDF-1.7", "PDF"},
      {"compressed", std::string("\x1f\x8b\x08\x00", 4), "compressed"},
      {"nothing painted", kHead + "</svg>", "paints nothing"},
      {"only a picture", kHead + "<image href='a.png' width='9' height='9'/></svg>", "trace it"},
      {"all outside the page", kHead + "<path d='M200 0h9v9z'/></svg>", "paints nothing"},
      {"no area", kHead + "<path d='M0 0h9'/></svg>", "paints nothing"},
      {"nan", kHead + "<path d='Mnan nan h9v9z'/></svg>", "paints nothing"},
      {"huge number", kHead + "<path d='M0 0H1e300V5z'/></svg>", "coordinate"},
      {"beyond double", kHead + "<path d='M0 0H1e999V5z'/></svg>", "paints nothing"},
      {"huge scale",
       kHead + "<g transform='scale(1e200)'><g transform='scale(1e200)'>" + kShape +
           "</g></g></svg>",
       ""},
      {"entities without end", laughs, "entities"},
      {"entity of itself",
       "<!DOCTYPE svg [<!ENTITY a '&b;'><!ENTITY b '&a;'>]>" + kHead +
           "<path id='&a;' d='M0 0h9v9z'/></svg>",
       "entities"},
      {"entity outside",
       "<!DOCTYPE svg [<!ENTITY x SYSTEM 'file:///etc/passwd'>]>" + kHead +
           "<path id='&x;' d='M0 0h9v9z'/></svg>",
       "outside the file"},
      {"entity of markup", "<!DOCTYPE svg [<!ENTITY x '<path/>'>]>" + kHead + "<g>&x;</g></svg>",
       "markup"},
      {"parameter entity",
       "<!DOCTYPE svg [<!ENTITY % x SYSTEM 'http://a/b'> %x;]>" + kHead + kShape + "</svg>",
       "parameter"},
      {"nested deep", kHead + repeated("<g>", 5000) + kShape + repeated("</g>", 5000) + "</svg>",
       "deep"},
      {"use that doubles", chain + "<use href='#b29'/></svg>", "elements"},
      {"elements without end", kHead + repeated("<g/>", 300'000) + kShape + "</svg>", "elements"},
  };
}

TEST(Hostile, IsRefusedWithWhatWhereAndWhatToDo) {
  for (const Case& each : refusals()) {
    const std::string message = outcome(each.svg);
    if (*each.word == 0) continue;
    EXPECT_NE(message.find(each.word), std::string::npos) << each.name << ": " << message;
  }
}

TEST(Hostile, DirtyFilesAreRead) {
  const std::string utf16 = [] {
    std::string out = "\xff\xfe";
    for (const char c : kHead + kShape + "</svg>") out += c, out += '\0';
    return out;
  }();
  const Case cases[] = {
      {"byte order mark", "\xef\xbb\xbf" + kHead + kShape + "</svg>", ""},
      {"utf-16", utf16, ""},
      {"no namespace", "<svg>" + kShape + "</svg>", ""},
      {"prefix", "<x:svg xmlns:x='http://www.w3.org/2000/svg'><x:path d='M1 1h9v9z'/></x:svg>", ""},
      {"namespaces as entities",
       "<?xml version='1.0'?><!DOCTYPE svg PUBLIC '-//W3C//DTD SVG 1.1//EN' "
       "'http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd' "
       "[<!ENTITY ns_svg 'http://www.w3.org/2000/svg'><!ENTITY col '#f00'>]><svg "
       "xmlns='&ns_svg;'><path fill='&col;' d='M1 1h9v9z'/></svg>",
       ""},
      {"bad view box",
       "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 0 x'>" + kShape + "</svg>", ""},
      {"view box of nothing",
       "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 -5 5'>" + kShape + "</svg>", ""},
      {"size of nothing",
       "<svg xmlns='http://www.w3.org/2000/svg' width='0' height='-3'>" + kShape + "</svg>", ""},
      {"tiny",
       "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 1e-4 1e-4'><path d='M0 "
       "0h1e-4v1e-4z'/></svg>",
       ""},
      {"large",
       "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 5e6 5e6'><circle cx='1e6' cy='1e6' "
       "r='9e5'/></svg>",
       ""},
      {"comments and instructions",
       "<?xml version='1.0'?><!-- a --><?x y?>" + kHead + "<!-- b -->" + kShape +
           "</svg><!-- c -->",
       ""},
      {"repeated id",
       kHead + "<g id='a'>" + kShape + "</g><g id='a'>" + kShape + "</g><use href='#a'/></svg>",
       ""},
      {"use in a ring",
       kHead + "<g id='a'><use href='#b'/></g><g id='b'><use href='#a'/></g>" + kShape + "</svg>",
       ""},
      {"clip of itself",
       kHead +
           "<clipPath id='c'><path clip-path='url(#c)' d='M0 0h9v9z'/></clipPath><g "
           "clip-path='url(#c)'>" +
           kShape + "</g>" + kShape + "</svg>",
       ""},
      {"mask of itself",
       kHead +
           "<mask id='c'><path mask='url(#c)' fill='#fff' d='M0 0h9v9z'/></mask><g "
           "mask='url(#c)'>" +
           kShape + "</g>" + kShape + "</svg>",
       ""},
      {"gradient of itself",
       kHead +
           "<linearGradient id='a' href='#b'/><linearGradient id='b' href='#a'/><path "
           "fill='url(#a)' d='M0 0h9v9z'/>" +
           kShape + "</svg>",
       ""},
      {"map to a line", kHead + "<g transform='scale(1 0)'>" + kShape + "</g>" + kShape + "</svg>",
       ""},
      {"odd styles",
       kHead + "<style>{}}}{ @media{ .a{fill: } b{;;;:x} */ /* </style><path "
               "style=';;:;fill:;stroke-width:-3;stroke:red' d='M0 0h9v9z'/></svg>",
       ""},
      {"dashes of nothing",
       kHead + "<path stroke='red' stroke-dasharray='0 0' d='M0 0h9v9z'/></svg>", ""},
      {"dashes too fine",
       kHead + "<path stroke='red' stroke-dasharray='1e-9' d='M0 0h90v90z'/></svg>", ""},
  };
  for (const Case& each : cases) EXPECT_EQ(outcome(each.svg), "") << each.name;
}

// What asks for hours of work is refused, or done, within seconds of processor time: the test may
// share its machine.
std::string noise(int n, std::uint64_t seed) {
  base::Random random(seed);
  std::string d = "M0 0";
  for (int i = 0; i < n; ++i) {
    const int x = random.below(1000);
    const int y = random.below(1000);
    d += fmt::format("L{} {}", x / 10.0, y / 10.0);
  }
  return d;
}

std::vector<Case> slow_shapes() {
  std::string comb = "M0 0";
  for (int i = 0; i < 40'000; ++i)
    comb += fmt::format("L{} {}L{} {}", i * 0.002, 99.5 + (i % 977) * 5e-4, i * 0.002 + 0.001,
                        (i % 1013) * 5e-4);
  std::string lines;
  for (int i = 0; i < 3'000; ++i) {
    base::Random random(static_cast<std::uint64_t>(i));
    const int a = random.below(100);
    const int b = random.below(100);
    lines += fmt::format("<path d='M0 {}L100 {}' stroke='#{:03x}'/>", a, b, i % 4096);
  }
  return {{"scribble", kHead + "<path d='" + noise(20'000, 1) + "'/></svg>", ""},
          {"long scribble", kHead + "<path d='" + noise(400'000, 2) + "'/></svg>", ""},
          {"stroked scribble",
           kHead + "<path fill='none' stroke='red' d='" + noise(20'000, 3) + "'/></svg>", ""},
          {"comb", kHead + "<path d='" + comb + "z'/></svg>", ""},
          {"thousands of lines", kHead + lines + "</svg>", ""},
          {"half seen lines", kHead + "<g opacity='.5'>" + lines + "</g></svg>", ""},
          {"many rules",
           kHead + "<style>" + repeated("* * * *{fill:red}", 20'000) + "</style>" +
               repeated("<g>" + kShape + "</g>", 2'000) + "</svg>",
           ""},
          {"one long word",
           kHead + "<path d='" + std::string(5'000'000, '-') + "'/>" + kShape + "</svg>", ""},
          {"ampersands",
           "<!DOCTYPE svg [<!ENTITY a 'b'>]>" + kHead + "<style>" + repeated("&a", 1'000'000) +
               "</style>" + kShape + "</svg>",
           ""}};
}

// Little text that asks for much work: fonts, names, styles and text used again and again.
std::vector<Case> slow_texts() {
  std::string fonts, prefixes;
  for (int i = 0; i < 10'000; ++i) {
    fonts += fmt::format("<tspan font-family='Face{0}'>a</tspan>", i);
    prefixes += fmt::format(" xmlns:a{0}='urn:{0}'", i);
  }
  return {{"thousands of fonts", kHead + "<text y='9'>" + fonts + "</text></svg>", ""},
          {"a name of megabytes, used",
           kHead + "<g id='g'>" + repeated(kShape, 20'000) + "</g><use id='" +
               std::string(5'000'000, 'n') + "' href='#g'/></svg>",
           ""},
          {"text used again and again",
           kHead + "<text id='t'>" + repeated("<tspan>a</tspan>", 10'000) + "</text>" +
               repeated("<use href='#t'/>", 10'000) + "</svg>",
           ""},
          {"unknown letters without end",
           kHead + "<text id='t'>" + repeated("\xF3\xB0\x80\x80", 10'000) + "</text>" +
               repeated("<use href='#t'/>", 10'000) + "</svg>",
           ""},
          {"a path read for each letter",
           kHead + "<path id='p' fill='none' d='" + noise(100'000, 4) + "'/><text>" +
               "<textPath href='#p'><tspan x='" + repeated("1 ", 19'000) + "'>" +
               std::string(19'000, 'l') + "</tspan></textPath></text>" + kShape + "</svg>",
           ""},
          {"one rule of everything",
           kHead + "<style>*{" + repeated("fill:red;", 100'000) + "}</style>" +
               repeated("<g/>", 50'000) + kShape + "</svg>",
           ""},
          {"style read on every use",
           kHead + "<path id='p' d='M1 1h9v9z' style='" + repeated("fill:red;", 100'000) + "'/>" +
               repeated("<use href='#p'/>", 50'000) + "</svg>",
           ""},
          {"prefixes without end",
           "<svg xmlns='http://www.w3.org/2000/svg' " + prefixes + ">" +
               repeated("<a0:b/>", 150'000) + kShape + "</svg>",
           ""}};
}

TEST(SlowHostile, TakesBoundedTime) {
  std::vector<Case> cases = slow_shapes();
  for (Case& each : slow_texts()) cases.push_back(std::move(each));
  for (const Case& each : cases) {
    const std::clock_t start = std::clock();
    const std::string message = outcome(each.svg);
    const double s = static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
    fmt::print("  {:20} {:6.2f} s  {}\n", each.name, s, message.empty() ? "read" : message);
    EXPECT_LT(s, 30) << each.name;
  }
}

// Whatever a file is cut to or has overwritten, it is read or refused.
TEST(Hostile, DamagedFilesNeverCrash) {
  const std::string whole = kHead +
                            "<style>.a{fill:red}</style><defs><clipPath id='c'><circle "
                            "r='9'/></clipPath></defs><g class='a' "
                            "clip-path='url(#c)' transform='rotate(3)'>" +
                            kShape +
                            "<use href='#c'/></g><rect width='5' height='5' stroke='blue' "
                            "stroke-dasharray='1 2'/></svg>";
  base::Random random(7);
  int taken = 0, refused = 0;
  for (int i = 0; i < 3000; ++i) {
    std::string damaged = whole;
    const int hits = 1 + random.below(4);
    for (int k = 0; k < hits; ++k) {
      const auto at = static_cast<std::size_t>(random.below(static_cast<int>(damaged.size())));
      const int kind = random.below(3);
      if (kind == 0) damaged[at] = static_cast<char>(random.below(256));
      if (kind == 1) damaged.erase(at, static_cast<std::size_t>(random.below(9)));
      if (kind == 2)
        damaged.insert(
            at, damaged.substr(
                    static_cast<std::size_t>(random.below(static_cast<int>(damaged.size()))), 12));
    }
    (outcome(damaged).empty() ? taken : refused)++;
  }
  EXPECT_GT(taken, 300);
  EXPECT_GT(refused, 300);
}

// Every file in tests/corpus is read or refused; names that start with "refuse" are refused.
TEST(Hostile, CorpusFilesDoAsTheirNamesSay) {
  int n = 0;
  for (const auto& entry : std::filesystem::directory_iterator(BUCKRAM_ROOT "/tests/corpus")) {
    if (entry.path().extension() != ".svg") continue;
    ++n;
    const std::string message = outcome(base::read_file(entry.path().string(), 50'000'000));
    const bool is_refusal = entry.path().filename().string().starts_with("refuse");
    EXPECT_EQ(!message.empty(), is_refusal) << entry.path() << ": " << message;
  }
  EXPECT_GT(n, 5);
}

}  // namespace
}  // namespace buckram::artwork
