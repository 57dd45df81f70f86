#include "artwork/outline.h"

#include <fmt/format.h>

#include <algorithm>

namespace buckram::artwork {
namespace {

using geometry::Point;

// Reads the geometry attributes of one element.
class Lengths {
 public:
  Lengths(const Element& element, const Viewport& viewport, double font_size)
      : element_(element), viewport_(viewport), font_size_(font_size) {}

  std::optional<double> given(std::string_view name, double percent_of) {
    const std::string* text = attribute(element_, name);
    if (!text || trimmed(*text) == "auto") return std::nullopt;
    const auto value = parse_length(*text, {percent_of, font_size_});
    if (!value && error_.empty())
      error_ = fmt::format("{}=\"{}\" is not a length", name, text->substr(0, 40));
    return value;
  }
  double x(std::string_view name) { return given(name, viewport_.width).value_or(0); }
  double y(std::string_view name) { return given(name, viewport_.height).value_or(0); }
  std::optional<double> maybe_x(std::string_view name) { return given(name, viewport_.width); }
  std::optional<double> maybe_y(std::string_view name) { return given(name, viewport_.height); }
  double any(std::string_view name) { return given(name, viewport_.diagonal()).value_or(0); }
  const std::string& error() const { return error_; }

 private:
  const Element& element_;
  Viewport viewport_;
  double font_size_;
  std::string error_;
};

Step line_to(Point p) {
  return {Step::Kind::line, false, false, {}, {}, p};
}
Step arc_to(double rx, double ry, Point p) {
  return {Step::Kind::arc, false, true, {rx, ry}, {}, p};
}

// SVG 1.1, 9.2: corners clockwise as seen with y down, from the upper left.
Outline rectangle(Point corner, double w, double h, double rx, double ry) {
  if (!(w > 0 && h > 0)) return {};
  const double x0 = corner.x, y0 = corner.y, x1 = x0 + w, y1 = y0 + h;
  if (rx <= 0 || ry <= 0)
    return {{{x0, y0}, {line_to({x1, y0}), line_to({x1, y1}), line_to({x0, y1})}, true}};
  Subpath path{{x0 + rx, y0}, {}, true};
  path.steps = {line_to({x1 - rx, y0}), arc_to(rx, ry, {x1, y0 + ry}),
                line_to({x1, y1 - ry}), arc_to(rx, ry, {x1 - rx, y1}),
                line_to({x0 + rx, y1}), arc_to(rx, ry, {x0, y1 - ry}),
                line_to({x0, y0 + ry}), arc_to(rx, ry, {x0 + rx, y0})};
  return {path};
}

Outline rounded_rectangle(Lengths& in) {
  const double w = in.x("width"), h = in.y("height");
  auto rx = in.maybe_x("rx"), ry = in.maybe_y("ry");
  if (rx && *rx < 0) rx.reset();
  if (ry && *ry < 0) ry.reset();
  if (!rx) rx = ry;
  if (!ry) ry = rx;
  return rectangle({in.x("x"), in.y("y")}, w, h, std::min(rx.value_or(0), w / 2),
                   std::min(ry.value_or(0), h / 2));
}

Outline ellipse(Point c, double rx, double ry) {
  if (!(rx > 0 && ry > 0)) return {};
  Subpath path{{c.x + rx, c.y}, {}, true};
  path.steps = {arc_to(rx, ry, {c.x, c.y + ry}), arc_to(rx, ry, {c.x - rx, c.y}),
                arc_to(rx, ry, {c.x, c.y - ry}), arc_to(rx, ry, {c.x + rx, c.y})};
  return {path};
}

ParsedPath through_points(const Element& element, bool is_closed, std::size_t most_steps) {
  const std::string* text = attribute(element, "points");
  if (!text) return {};
  NumberList list = parse_numbers(*text);
  ParsedPath parsed;
  if (!list.complete) parsed.error = "points hold what is not a number";
  if (list.values.size() % 2 != 0) parsed.error = "points hold an odd count of numbers";
  if (list.values.size() / 2 > most_steps) parsed.error = "it holds too many points";
  const std::size_t n = std::min(list.values.size() / 2, most_steps);
  if (n == 0) return parsed;
  Subpath path{{list.values[0], list.values[1]}, {}, is_closed};
  for (std::size_t i = 1; i < n; ++i)
    path.steps.push_back(line_to({list.values[2 * i], list.values[2 * i + 1]}));
  parsed.outline.push_back(std::move(path));
  return parsed;
}

}  // namespace

std::optional<ParsedPath> outline_of(const Element& element, const Viewport& viewport,
                                     double font_size, std::size_t most_steps) {
  const std::string_view name = element.name;
  if (name == "path") {
    const std::string* data = attribute(element, "d");
    return data ? parse_path(*data, most_steps) : ParsedPath{};
  }
  if (name == "polygon" || name == "polyline")
    return through_points(element, name == "polygon", most_steps);
  Lengths in(element, viewport, font_size);
  Outline outline;
  if (name == "rect") {
    outline = rounded_rectangle(in);
  } else if (name == "circle") {
    const double r = in.any("r");
    outline = ellipse({in.x("cx"), in.y("cy")}, r, r);
  } else if (name == "ellipse") {
    const auto rx = in.maybe_x("rx"), ry = in.maybe_y("ry");
    outline =
        ellipse({in.x("cx"), in.y("cy")}, rx ? *rx : ry.value_or(0), ry ? *ry : rx.value_or(0));
  } else if (name == "line") {
    outline = {{{in.x("x1"), in.y("y1")}, {line_to({in.x("x2"), in.y("y2")})}, false}};
  } else {
    return std::nullopt;
  }
  return ParsedPath{std::move(outline), in.error()};
}

}  // namespace buckram::artwork
