// Where the axis of a shape is nearest to its outline. Not part of the door.
#pragma once

#include "digitise/axis_graph.h"

namespace buckram::digitise {

struct Feet {
  geometry::Point left, right;
};

// The places of the outline nearest to the point at share t of an edge of the axis: a corner that
// the edge turns about, else at distance r and, since r falls by -r' per length, at the angle
// acos(-r') to the edge. (The edge's own feet belong to its middle, which may be far away.)
Feet feet_at(const AxisGraph& graph, const geometry::Polygon& polygon, int from, int to, double t);

}  // namespace buckram::digitise
