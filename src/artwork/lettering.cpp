#include "artwork/lettering.h"

#include "artwork/installed_fonts.h"
#include "artwork/svg_assemble.h"
#include "base/base.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace buckram::artwork {
namespace {

using geometry::Affine;

constexpr double kEm = 10;  // user units
constexpr double kLineHeight = 1.2;
constexpr std::size_t kMostBytes = 2'000;

struct Line {
  std::string text;
  std::vector<Letter> letters;
  double length = 0;  // em
};

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines{""};
  for (const char c : text) {
    if (c == '\n') {
      lines.emplace_back();
    } else if (c != '\r') {
      lines.back() += c == '\t' ? ' ' : c;
    }
  }
  return lines;
}

Line set_line(const Typeface& face, const std::string& text, double spacing_em,
              const std::string& font) {
  Line line{text, face.letters(text, spacing_em == 0), 0};
  for (const Letter& letter : line.letters) {
    line.length += letter.advance + spacing_em;
    if (!letter.is_missing) continue;
    throw base::Error{
        base::ErrorCode::bad_job,
        fmt::format("the font {} has no letter \"{}\"", font,
                    base::first_character(std::string_view(text).substr(letter.byte))),
        "artwork.text", "Choose another font, or leave the letter out"};
  }
  if (!line.letters.empty()) line.length -= spacing_em;
  return line;
}

// Where a letter whose middle lies at `s` along a line of this length stands: em, y down.
Affine place_on(double s, double half, double length, double arc_deg) {
  if (arc_deg == 0 || length <= 0) return {1, 0, 0, 1, s - half, 0};
  const double radius = length / (arc_deg * base::kPi / 180);
  const double angle = (s - length / 2) / radius;
  const double c = std::cos(angle), sn = std::sin(angle);
  const Affine foot{c, sn, -sn, c, length / 2 + radius * sn, radius * (1 - c)};
  return geometry::compose(foot, {1, 0, 0, 1, -half, 0});
}

SceneItem item_of(const Line& line, const Lettering& lettering, double left, double down) {
  SceneItem item;
  double pen = 0;
  for (const Letter& letter : line.letters) {
    const double half = letter.advance / 2;
    const Affine on = place_on(pen + half, half, line.length, lettering.arc_deg);
    append(letter.outline, geometry::compose({kEm, 0, 0, kEm, left * kEm, down * kEm}, on),
           item.outline);
    pen += letter.advance + lettering.letter_spacing_em;
  }
  item.fill = Ink{lettering.colour, 1};
  item.source = line.text;
  return item;
}

}  // namespace

Drawing read_lettering(const Lettering& lettering) {
  if (lettering.text.find_first_not_of(" \t\r\n") == std::string::npos) {
    throw base::Error{base::ErrorCode::bad_job, "holds no letters", "artwork.text",
                      "Type the text to sew"};
  }
  if (lettering.text.size() > kMostBytes) {
    throw base::Error{
        base::ErrorCode::bad_job,
        fmt::format("has {} bytes; at most {} are set", lettering.text.size(), kMostBytes),
        "artwork.text", "Shorten the text"};
  }
  const FoundFont font = font_named(lettering.font);
  const Typeface face = load(font);
  std::vector<Line> lines;
  for (const std::string& text : lines_of(lettering.text)) {
    lines.push_back(set_line(face, text, lettering.letter_spacing_em, font.family));
  }
  Scene scene;
  double down = 0;
  for (const Line& line : lines) {
    SceneItem item = item_of(line, lettering, (lines.front().length - line.length) / 2, down);
    if (!item.outline.empty()) scene.layer.items.push_back(std::move(item));
    down += kLineHeight;
  }
  return assemble(std::move(scene), "artwork.text", SvgLimits{});
}

}  // namespace buckram::artwork
