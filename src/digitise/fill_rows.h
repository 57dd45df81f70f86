// Rows of a fill, in the frame turned so that they run along x: where each begins and ends, and the
// pieces of outline between neighbouring row ends.
//
// Own scan lines rather than geometry::hatch, because sewing needs to know which two row ends are
// joined by which piece of outline: turns follow it, shallow edges are filled along it, and what
// is connected to what is read from it exactly.
#pragma once

#include "geometry/geometry.h"

#include <vector>

namespace buckram::digitise {

// Where a row meets the outline.
struct Crossing {
  double x = 0;
  int row = 0;
  int ring = 0, edge = 0;    // edge e runs from vertex e to e + 1 of the ring
  int next = -1, prev = -1;  // the neighbouring crossings along the same ring
  int span = -1;
  bool rising = false;  // the ring runs upwards here: the right end of a span
};

// One unbroken stretch of a row.
struct RowSpan {
  int row = 0;
  double x0 = 0, x1 = 0;      // x0 <= x1
  int left = -1, right = -1;  // crossings
};

struct Rows {
  double angle_rad = 0;  // turned back by this they lie on the cloth
  double first_mm = 0;   // y of row 0
  double spacing_mm = 0;
  int n_rows = 0;
  std::vector<geometry::Ring> rings;  // of the area, turned
  std::vector<Crossing> crossings;    // ring by ring, in the ring's order
  std::vector<RowSpan> spans;         // by row, then by x
  std::vector<int> first_span;        // of each row; one more at the end

  double y(int row) const { return first_mm + spacing_mm * row; }
};

// Rows over `area`, spaced evenly from just above its lowest to just below its highest point. The
// spacing is at most `spacing_mm` and divides the height: the extremes themselves, one spacing
// before the first row and one after the last, are left to the caps that follow the outline.
// A height under two spacings gets one row in the middle. Half-open rule at vertices, so crossings
// pair up. O(vertices + crossings log crossings).
Rows make_rows(const geometry::Polygons& area, double angle_rad, double spacing_mm);

// The outline from crossing c to the next one of its ring, both included. It lies between two
// neighbouring rows, or beyond the last.
geometry::Polyline chain(const Rows& rows, int c);

}  // namespace buckram::digitise
