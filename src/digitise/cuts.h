// Where a shape is cut into strips and wide parts, read off its medial axis.
//
// At a junction the straightest pair of arms runs through; each other arm is cut off at its mouth,
// the chord between the two places of the outline that the axis is nearest to there. A chord of an
// empty disc lies inside the shape, so a cut never crosses the outline. Two junctions joined by
// a short piece of axis (a slanting cross) count as one. Where one of two arms across from each
// other is too short for an object (a cross bar's near half), both are sewn in one under what runs
// through. Where an arm leaves a part too wide for columns it is cut off likewise. A bend of more
// than 60 degrees with a sharp outer corner is cut so that one leg runs through to the outer edge
// and the other butts against it: the leg that meets that edge squarely and comes straight, else
// the longer. Legs of one width that meet in a point of less than 80 degrees are mitred: both end
// on the line from the inner corner to the point.
#pragma once

#include "digitise/recipe.h"
#include "geometry/geometry.h"

#include <vector>

namespace buckram::digitise {

struct Cut {
  geometry::Point a, b;     // both on the outline
  geometry::Point arm;      // a point on the arm's side of the chord
  bool arm_on_top = false;  // sewn after what it meets (over a fill), else tucked under it
  double tuck_mm = 0;       // how far the arm goes on beyond the chord
  geometry::Point along;    // unit direction of the arm away from the chord
  int opposite = -1;        // cut of the arm across, with which this one is sewn in one, or none
};

struct Cuts {
  std::vector<Cut> cuts;
  std::vector<geometry::Point> wide;  // one point of every part too wide for columns
  bool trusted = false;               // false: the axis was not verified; nothing is cut
  double widest_mm = 0;
};

// `drawn`: the shape before later ones hid part of it; empty: nothing did (wide_parts.h).
Cuts find_cuts(const geometry::Polygon& polygon, const Recipe& recipe,
               const geometry::Polygons& drawn = {});

}  // namespace buckram::digitise
