// Fills: parallel rows over one connected area, sewn without a lift from one end to the other.
//
// Path: area -> rows at the fill's angle -> sections (stacks of rows that do not break) -> order
// of sections -> under-stitching, hidden travel, rows. See docs/notes/fills.md.
#pragma once

#include "digitise/digitise.h"

#include <vector>

namespace buckram::digitise {

// The angle of rows, in [0, pi), that breaks the fewest rows; every 5 degrees is tried, which costs
// next to nothing. Among equal ones: few edges that run almost along the rows, then few rows,
// then the smaller angle. 0 for an empty area.
double fill_angle(const geometry::Polygons& area, const Recipe& recipe);

// Where the fill can begin and end with nothing showing: 1 (a speck) to 12 pairs. Exits are corners
// of sections, where a last row naturally ends; entries are anywhere on the edge, since the travel
// from there to the first row is covered. Assumes that the outline sewn to is
// geometry::offset(area, compensation_mm).
std::vector<Way> fill_ways(const Fill& fill, const Recipe& recipe);

// Locks, under-stitching, hidden travel and rows, in sewing order, without a lift. The thread's
// edge lies on `outline` (the compensated one; empty: the area grown by the compensation). The
// first point is way.entry, the last way.exit, whatever they are; a way that fill_ways offers
// leaves no thread in sight but rows. Consecutive pieces repeat no point.
std::vector<Piece> sew_fill(const Fill& fill, const geometry::Polygons& outline, const Way& way,
                            const Recipe& recipe, const Ties& ties);

}  // namespace buckram::digitise
