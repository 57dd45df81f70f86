// What the files of this folder share about rings; not part of the door.
#pragma once

#include "geometry/polygon.h"

#include <vector>

namespace buckram::geometry {

// What the rings wind around at least once counter-clockwise (sum of windings > 0), snapped to
// the grid. This is the rule that makes raw offset chains exact: see offset.cpp.
Polygons wound_by(const std::vector<Ring>& rings);

// Douglas-Peucker on one ring, without mending. Keeps the lowest-left vertex and the one farthest
// from it, so a ring never collapses while it is wider than the tolerance.
Ring thinned(const Ring& ring, double tolerance_mm);

// From p to the segment a-b, squared.
double squared_distance(Point p, Point a, Point b);

}  // namespace buckram::geometry
