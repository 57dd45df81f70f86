// Under-stitching of fills: what ties the cloth down before the rows pull at it.
#pragma once

#include "digitise/objects.h"
#include "digitise/recipe.h"

#include <vector>

namespace buckram::digitise {

struct UnderLine {
  geometry::Polyline path;
  bool closed = false;  // an edge run; may begin at any of its points
};

// Edge runs under_inset_mm inside the area, then a lattice of rows across those of the fill,
// under_row_mm apart, its ends inside the edge runs. Under 4 mm^2 nothing, under 12 mm^2 only
// the edge runs: there the rows themselves hold the cloth (common practice, no source). What
// Recipe::under asks for goes over that: none, edge or lattice.
std::vector<UnderLine> under_lines(const Fill& fill, const Recipe& recipe);

// The line as penetrations from its end (closed: from its point) nearest to `from`.
geometry::Polyline sewn_from(const UnderLine& line, geometry::Point from, const Recipe& recipe);

}  // namespace buckram::digitise
