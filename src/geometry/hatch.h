// Rows across a shape: the crossings of parallel lines with its outline.
#pragma once

#include "geometry/polygon.h"

#include <vector>

namespace buckram::geometry {

struct Span {
  double from, to;  // along the row, from < to
};
struct Row {
  double offset;            // across the rows
  std::vector<Span> spans;  // in order, not touching
};

// Rows at `angle_rad` to the x axis, at offsets phase + k * spacing. A point of the row is
// along * (cos, sin) + offset * (-sin, cos). Rows that miss the shape are left out. Half-open
// rule: a vertex on a row counts once. Polygons that overlap count once where they do (winding
// rule). O(edges + crossings log crossings).
std::vector<Row> hatch(const Polygons& polygons, double angle_rad, double spacing_mm,
                       double phase_mm = 0);

constexpr Point row_point(double angle_cos, double angle_sin, double along, double offset) {
  return {along * angle_cos - offset * angle_sin, along * angle_sin + offset * angle_cos};
}

}  // namespace buckram::geometry
