#include "artwork/css_colour.h"

#include "artwork/svg_numbers.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <string>
#include <vector>

namespace buckram::artwork {
namespace {

struct Named {
  std::string_view name;
  unsigned rgb;
};

// CSS Color 4, section 6.1; sorted by name for binary search.
constexpr std::array<Named, 148> kNamed = {{
    {"aliceblue", 0xf0f8ff},
    {"antiquewhite", 0xfaebd7},
    {"aqua", 0x00ffff},
    {"aquamarine", 0x7fffd4},
    {"azure", 0xf0ffff},
    {"beige", 0xf5f5dc},
    {"bisque", 0xffe4c4},
    {"black", 0x000000},
    {"blanchedalmond", 0xffebcd},
    {"blue", 0x0000ff},
    {"blueviolet", 0x8a2be2},
    {"brown", 0xa52a2a},
    {"burlywood", 0xdeb887},
    {"cadetblue", 0x5f9ea0},
    {"chartreuse", 0x7fff00},
    {"chocolate", 0xd2691e},
    {"coral", 0xff7f50},
    {"cornflowerblue", 0x6495ed},
    {"cornsilk", 0xfff8dc},
    {"crimson", 0xdc143c},
    {"cyan", 0x00ffff},
    {"darkblue", 0x00008b},
    {"darkcyan", 0x008b8b},
    {"darkgoldenrod", 0xb8860b},
    {"darkgray", 0xa9a9a9},
    {"darkgreen", 0x006400},
    {"darkgrey", 0xa9a9a9},
    {"darkkhaki", 0xbdb76b},
    {"darkmagenta", 0x8b008b},
    {"darkolivegreen", 0x556b2f},
    {"darkorange", 0xff8c00},
    {"darkorchid", 0x9932cc},
    {"darkred", 0x8b0000},
    {"darksalmon", 0xe9967a},
    {"darkseagreen", 0x8fbc8f},
    {"darkslateblue", 0x483d8b},
    {"darkslategray", 0x2f4f4f},
    {"darkslategrey", 0x2f4f4f},
    {"darkturquoise", 0x00ced1},
    {"darkviolet", 0x9400d3},
    {"deeppink", 0xff1493},
    {"deepskyblue", 0x00bfff},
    {"dimgray", 0x696969},
    {"dimgrey", 0x696969},
    {"dodgerblue", 0x1e90ff},
    {"firebrick", 0xb22222},
    {"floralwhite", 0xfffaf0},
    {"forestgreen", 0x228b22},
    {"fuchsia", 0xff00ff},
    {"gainsboro", 0xdcdcdc},
    {"ghostwhite", 0xf8f8ff},
    {"gold", 0xffd700},
    {"goldenrod", 0xdaa520},
    {"gray", 0x808080},
    {"green", 0x008000},
    {"greenyellow", 0xadff2f},
    {"grey", 0x808080},
    {"honeydew", 0xf0fff0},
    {"hotpink", 0xff69b4},
    {"indianred", 0xcd5c5c},
    {"indigo", 0x4b0082},
    {"ivory", 0xfffff0},
    {"khaki", 0xf0e68c},
    {"lavender", 0xe6e6fa},
    {"lavenderblush", 0xfff0f5},
    {"lawngreen", 0x7cfc00},
    {"lemonchiffon", 0xfffacd},
    {"lightblue", 0xadd8e6},
    {"lightcoral", 0xf08080},
    {"lightcyan", 0xe0ffff},
    {"lightgoldenrodyellow", 0xfafad2},
    {"lightgray", 0xd3d3d3},
    {"lightgreen", 0x90ee90},
    {"lightgrey", 0xd3d3d3},
    {"lightpink", 0xffb6c1},
    {"lightsalmon", 0xffa07a},
    {"lightseagreen", 0x20b2aa},
    {"lightskyblue", 0x87cefa},
    {"lightslategray", 0x778899},
    {"lightslategrey", 0x778899},
    {"lightsteelblue", 0xb0c4de},
    {"lightyellow", 0xffffe0},
    {"lime", 0x00ff00},
    {"limegreen", 0x32cd32},
    {"linen", 0xfaf0e6},
    {"magenta", 0xff00ff},
    {"maroon", 0x800000},
    {"mediumaquamarine", 0x66cdaa},
    {"mediumblue", 0x0000cd},
    {"mediumorchid", 0xba55d3},
    {"mediumpurple", 0x9370db},
    {"mediumseagreen", 0x3cb371},
    {"mediumslateblue", 0x7b68ee},
    {"mediumspringgreen", 0x00fa9a},
    {"mediumturquoise", 0x48d1cc},
    {"mediumvioletred", 0xc71585},
    {"midnightblue", 0x191970},
    {"mintcream", 0xf5fffa},
    {"mistyrose", 0xffe4e1},
    {"moccasin", 0xffe4b5},
    {"navajowhite", 0xffdead},
    {"navy", 0x000080},
    {"oldlace", 0xfdf5e6},
    {"olive", 0x808000},
    {"olivedrab", 0x6b8e23},
    {"orange", 0xffa500},
    {"orangered", 0xff4500},
    {"orchid", 0xda70d6},
    {"palegoldenrod", 0xeee8aa},
    {"palegreen", 0x98fb98},
    {"paleturquoise", 0xafeeee},
    {"palevioletred", 0xdb7093},
    {"papayawhip", 0xffefd5},
    {"peachpuff", 0xffdab9},
    {"peru", 0xcd853f},
    {"pink", 0xffc0cb},
    {"plum", 0xdda0dd},
    {"powderblue", 0xb0e0e6},
    {"purple", 0x800080},
    {"rebeccapurple", 0x663399},
    {"red", 0xff0000},
    {"rosybrown", 0xbc8f8f},
    {"royalblue", 0x4169e1},
    {"saddlebrown", 0x8b4513},
    {"salmon", 0xfa8072},
    {"sandybrown", 0xf4a460},
    {"seagreen", 0x2e8b57},
    {"seashell", 0xfff5ee},
    {"sienna", 0xa0522d},
    {"silver", 0xc0c0c0},
    {"skyblue", 0x87ceeb},
    {"slateblue", 0x6a5acd},
    {"slategray", 0x708090},
    {"slategrey", 0x708090},
    {"snow", 0xfffafa},
    {"springgreen", 0x00ff7f},
    {"steelblue", 0x4682b4},
    {"tan", 0xd2b48c},
    {"teal", 0x008080},
    {"thistle", 0xd8bfd8},
    {"tomato", 0xff6347},
    {"turquoise", 0x40e0d0},
    {"violet", 0xee82ee},
    {"wheat", 0xf5deb3},
    {"white", 0xffffff},
    {"whitesmoke", 0xf5f5f5},
    {"yellow", 0xffff00},
    {"yellowgreen", 0x9acd32},
}};

constexpr bool is_sorted_by_name() {
  for (std::size_t i = 1; i < kNamed.size(); ++i)
    if (!(kNamed[i - 1].name < kNamed[i].name)) return false;
  return true;
}
static_assert(is_sorted_by_name());

Rgb from_word(unsigned rgb) {
  return {static_cast<std::uint8_t>(rgb >> 16), static_cast<std::uint8_t>(rgb >> 8),
          static_cast<std::uint8_t>(rgb)};
}

std::uint8_t channel(double value) {  // 0 to 255
  return static_cast<std::uint8_t>(std::lround(std::clamp(value, 0.0, 255.0)));
}

int hex_digit(char c) {
  if (c >= '0' && c <= '9') return c - '0';
  if (c >= 'a' && c <= 'f') return c - 'a' + 10;
  return -1;
}

std::optional<Ink> parse_hex(std::string_view digits) {
  const std::size_t n = digits.size();
  if (n != 3 && n != 4 && n != 6 && n != 8) return std::nullopt;
  const bool is_short = n < 6;
  std::array<int, 4> value = {0, 0, 0, 255};
  for (std::size_t i = 0; i < n / (is_short ? 1 : 2); ++i) {
    const int high = hex_digit(digits[is_short ? i : 2 * i]);
    const int low = hex_digit(digits[is_short ? i : 2 * i + 1]);
    if (high < 0 || low < 0) return std::nullopt;
    value[i] = high * 16 + low;
  }
  return Ink{{static_cast<std::uint8_t>(value[0]), static_cast<std::uint8_t>(value[1]),
              static_cast<std::uint8_t>(value[2])},
             value[3] / 255.0};
}

struct Part {
  double value = 0;
  bool percent = false;
};

// The parts of `a, b, c / d`, with commas or blanks; degrees may carry their unit.
std::optional<std::vector<Part>> parse_parts(std::string_view text) {
  std::vector<Part> parts;
  Scanner in(text);
  while (true) {
    while (in.skip(',') || in.skip('/')) {
    }
    if (in.done()) return parts;
    const auto number = in.number();
    if (!number || parts.size() == 4) return std::nullopt;
    const std::string_view unit = in.word();
    if (!unit.empty() && unit != "deg") return std::nullopt;
    parts.push_back({*number, in.skip('%')});
  }
}

double alpha_of(const std::vector<Part>& parts) {
  if (parts.size() < 4) return 1;
  return std::clamp(parts[3].percent ? parts[3].value / 100 : parts[3].value, 0.0, 1.0);
}

// CSS Color 4, section 7.1.
Rgb from_hsl(double hue_deg, double saturation, double lightness) {
  const double s = std::clamp(saturation, 0.0, 1.0), l = std::clamp(lightness, 0.0, 1.0);
  const auto f = [&](double n) {
    double k = std::fmod(n + hue_deg / 30, 12);
    if (k < 0) k += 12;
    const double a = s * std::min(l, 1 - l);
    return channel(255 * (l - a * std::max(-1.0, std::min({k - 3, 9 - k, 1.0}))));
  };
  return {f(0), f(8), f(4)};
}

std::optional<Ink> parse_function(std::string_view name, std::string_view inside) {
  const auto parts = parse_parts(inside);
  if (!parts || parts->size() < 3) return std::nullopt;
  const auto& p = *parts;
  if (name == "rgb" || name == "rgba") {
    const auto value = [](const Part& part) {
      return channel(part.percent ? part.value * 255 / 100 : part.value);
    };
    return Ink{{value(p[0]), value(p[1]), value(p[2])}, alpha_of(p)};
  }
  if (name == "hsl" || name == "hsla")
    return Ink{from_hsl(p[0].value, p[1].value / 100, p[2].value / 100), alpha_of(p)};
  return std::nullopt;
}

}  // namespace

std::optional<Ink> parse_colour(std::string_view text) {
  const std::string lower = lower_case(trimmed(text));
  const std::string_view view = lower;
  if (view.empty()) return std::nullopt;
  if (view.front() == '#') return parse_hex(view.substr(1));
  if (view == "transparent") return Ink{{}, 0};
  if (const auto open = view.find('('); open != std::string_view::npos) {
    const auto close = view.find(')', open);
    const auto inside =
        view.substr(open + 1, close == std::string_view::npos ? close : close - open - 1);
    return parse_function(trimmed(view.substr(0, open)), inside);
  }
  const auto* found =
      std::lower_bound(kNamed.begin(), kNamed.end(), view,
                       [](const Named& n, std::string_view v) { return n.name < v; });
  if (found == kNamed.end() || found->name != view) return std::nullopt;
  return Ink{from_word(found->rgb), 1};
}

}  // namespace buckram::artwork
