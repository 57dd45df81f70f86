// The middle line of a strip, from end to end.
#pragma once

#include "digitise/recipe.h"
#include "geometry/geometry.h"

#include <optional>
#include <vector>

namespace buckram::digitise {

struct Spine {
  geometry::Polyline line;  // every kSpineStepMm, smoothed; open ones reach the outline
  bool closed = false;
};

inline constexpr double kSpineStepMm = 0.1;

// What a strip's medial axis says about it.
struct StripAxis {
  std::optional<Spine> spine;  // none when the axis cannot be trusted or the shape has no one line
  double widest_mm = 0;        // twice the largest radius; from the outline's box when untrusted
  double typical_mm = 0;       // twice the median radius along the line
  double broad_mm = 0;         // twice the radius that four fifths of the line keep below
};

// The longest line through the pruned medial axis: a ring's loop, else the longest path; its ends
// carried on to the middle of the end's edge, between the outermost corners that the axis's stubs
// lead to, or straight on where there are none. A path that turns into one corner of an end is cut
// back first.
StripAxis strip_axis(const geometry::Polygon& cell);

// A straight spine through the middle of the area along its longest (or, `across`, its shortest)
// principal direction: for dots and blobs that have no line of their own. None when the polygon is
// empty or its middle lies outside.
std::optional<Spine> straight_spine(const geometry::Polygon& cell, bool across = false);

// All crossings of the line p + t d with the outline, t sorted. Half-open rule.
std::vector<double> crossings(const geometry::Polygon& polygon, geometry::Point p,
                              geometry::Point d);

}  // namespace buckram::digitise
