// Outlines on an integer grid, mended so that segments meet at their ends only. Not part of the
// door; the Voronoi builder requires it.
#pragma once

#include "geometry/polygon.h"

#include <cstdint>
#include <vector>

namespace buckram::geometry {

struct GridPoint {
  std::int64_t x, y;
  friend auto operator<=>(const GridPoint&, const GridPoint&) = default;
};

inline Point to_point(GridPoint p) {
  return {static_cast<double>(p.x), static_cast<double>(p.y)};
}

// A segment from one vertex to another, the polygon's inside on its left.
struct GridSegment {
  int from, to;
  friend auto operator<=>(const GridSegment&, const GridSegment&) = default;
};

struct GridOutline {
  std::vector<GridPoint> vertices;  // sorted, no two alike
  std::vector<GridSegment> segments;
  bool is_clean = false;  // false: still crossing after the last pass
};

// Rounds the rings' points (already in grid units, within +-2^30) and mends what rounding did:
// a vertex within half a unit of a segment becomes its end, a crossing becomes a vertex, two
// segments that run against each other vanish. This is snap rounding (Hobby, Computational
// Geometry 13, 1999) repeated until nothing changes, at most 8 times. O(n log n) per pass.
GridOutline snapped(const std::vector<Ring>& rings);

}  // namespace buckram::geometry
