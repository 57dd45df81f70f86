// Sharp bends of a strip, cut so that one leg runs through. Not part of the door.
#pragma once

#include "digitise/axis_graph.h"
#include "digitise/cuts.h"

namespace buckram::digitise {

// Adds a cut for every sharp bend of the branches of the axis that are nowhere `wide` (by node).
void cut_corners(const AxisGraph& graph, const geometry::Polygon& polygon,
                 const std::vector<bool>& wide, double tuck_mm, Cuts& out);

}  // namespace buckram::digitise
