// Where strokes meet: which pair runs through, and where the others are cut off. Not part of the
// door.
//
// Arms are judged by the straight course that they have beyond the junction's own disc, where the
// axis no longer bends towards it. Of pairs that bend alike (within 5 degrees) the longer runs
// through, of equally long ones the steeper, then the one farther from the shape's middle, then the
// one to the left: never the one that rounding happened to put first, so that a shape and its
// mirror image are cut alike.
#pragma once

#include "digitise/axis_graph.h"
#include "digitise/cuts.h"

namespace buckram::digitise {

// Whether a short free branch is the end of a stroke that goes on beyond a junction (the foot of a
// stem under its bowl, the near half of a cross bar), not the corner of an end: it stands beside
// a reflex corner of the outline, and the line of another arm leads to it.
bool is_stroke_end(const AxisGraph& graph, const geometry::Polygon& polygon,
                   const geometry::MedialBranch& branch);

// Adds a cut for every arm that does not run through its junction, nodes that are `wide` aside.
void cut_junctions(const AxisGraph& graph, const geometry::Polygon& polygon,
                   const std::vector<bool>& wide, double tuck_mm, Cuts& out);

// The nearest vertex at which the outline turns towards the inside by more than 35 degrees, within
// `reach_mm` of p; else none.
struct Notch {
  bool is_there = false;
  geometry::Point at;
};
Notch notch_near(const geometry::Polygon& polygon, geometry::Point p, double reach_mm);

}  // namespace buckram::digitise
