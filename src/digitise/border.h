// Columns beside another colour: how far the ends of their threads may lie over it.
#pragma once

#include "artwork/artwork.h"
#include "digitise/objects.h"
#include "digitise/recipe.h"

namespace buckram::digitise {

// What shows in other threads than the region's within `near_mm` of the box, of the regions from
// `from` on: an area by the even-odd rule.
geometry::Polygons other_colours(const artwork::Regions& regions, std::size_t region,
                                 const geometry::Box& box, double near_mm, std::size_t from = 0);

// The round ends of a column's threads straddle its outline, so that on bare cloth as little shows
// between them as may be (kScallop in column.h). Over another colour the ends show as teeth: there
// the holes are drawn in until teeth and gaps take equal parts of the edge. Discs of diameter w at
// pitch w, held in by (1/2 - s) w, lie over the line on sqrt(1 - (1 - 2 s)^2) of its length, which
// is a half for s = 0.067. Rungs are left at least the shortest stitch long. O(rungs log edges).
void draw_in_at_border(Column& column, const stitch::Within& others, const Recipe& recipe);

}  // namespace buckram::digitise
