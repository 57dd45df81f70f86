// Outlines as drawn: lines, Beziers and arcs in their own coordinates, before any flattening.
#pragma once

#include "artwork/svg_numbers.h"
#include "artwork/xml_tree.h"
#include "geometry/geometry.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace buckram::artwork {

struct Step {
  enum class Kind : unsigned char { line, quadratic, cubic, arc } kind = Kind::line;
  bool large = false, sweep = false;  // arc
  geometry::Point a, b;  // control points; of an arc a = radii, b.x = rotation in degrees
  geometry::Point end;
};

struct Subpath {
  geometry::Point start;
  std::vector<Step> steps;
  bool closed = false;
};
using Outline = std::vector<Subpath>;

struct ParsedPath {
  Outline outline;
  std::string error;  // empty, or what was wrong; the outline then ends before it
};

// Path data (SVG 1.1, 8.3): all commands, absolute and relative, with numbers run together as the
// grammar allows. After an error what came before it is kept (8.3.1, F.2). At most `most_steps`
// are read, the rest is an error.
ParsedPath parse_path(std::string_view data, std::size_t most_steps);

// What percentages in the geometry of shapes refer to.
struct Viewport {
  double width = 0, height = 0;
  double diagonal() const;  // SVG 1.1, 7.10: sqrt((w^2 + h^2) / 2)
};

// rect, circle, ellipse, line, polyline, polygon, path. Nothing for other elements. `error` as
// above.
std::optional<ParsedPath> outline_of(const Element& element, const Viewport& viewport,
                                     double font_size, std::size_t most_steps);

// The subpath as a chain of points, no point of the curve farther than `tolerance` from it. A
// closed subpath does not repeat its first point.
geometry::Polyline flattened(const Subpath& subpath, double tolerance);

// Adds the mapped outline to another. Of lines and Beziers only, as letters are drawn with.
void append(const Outline& from, const geometry::Affine& map, Outline& to);

// Box of the curve within 1 % of its size.
geometry::Box rough_box(const Outline& outline, const geometry::Affine& map);

}  // namespace buckram::artwork
