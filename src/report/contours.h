// Lines of equal gap, and the ground above a level.
//
// Marching squares (W. Lorensen, H. Cline, SIGGRAPH 1987, in its two-dimensional form) with linear
// interpolation along the cells' edges; a saddle is decided by the mean of its four corners. A
// field that is linear over a cell is met exactly.
#pragma once

#include "geometry/geometry.h"

#include <vector>

namespace buckram::report {

// Samples z(i, j) at (x0 + i step, y0 + j step), row by row.
struct Field {
  double x0 = 0, y0 = 0, step_mm = 1;
  int nx = 0, ny = 0;
  std::vector<double> z;

  double at(int i, int j) const { return z[static_cast<std::size_t>(j * nx + i)]; }
};

struct Contour {
  double level = 0;
  geometry::Polyline points;
  bool closed = false;
};

// All lines of one level, joined; thinned to 0.02 mm. Higher ground lies to the left of each.
// O(cells + points log points).
std::vector<Contour> contours(const Field& field, double level);

// Outline of everything at or above the level, closed along the field's border, for filling by the
// even-odd rule.
std::vector<geometry::Ring> ground_above(const Field& field, double level);

}  // namespace buckram::report
