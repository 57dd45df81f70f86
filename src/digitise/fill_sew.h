// Penetrations of one section: rows back and forth with brick offsets, turns along the outline.
#pragma once

#include "digitise/fill_lanes.h"
#include "digitise/recipe.h"

#include <vector>

namespace buckram::digitise {

// Where along a row the needle goes down, as an offset in [0, 1) of the stitch length. Neighbouring
// rows are apart by the golden section (0.382), which keeps any two of four neighbouring rows
// at least 0.1 of a stitch apart; a little scatter keeps the eye from finding lines at all.
double brick_offset(int row);

// Lanes in the order sewn, entered at `start`. Keeps the recipe's longest stitch; shorter than its
// shortest only where the thread turns from one row into the next (the rows before and after
// run against each other) or a row is under two of them long, never under 0.25 mm. Begins at the
// first lane's end on that side; ends at the last lane's end that follows from the number of lanes,
// except where the section is narrower than the shortest stitch. In the rows' frame.
// O(penetrations).
geometry::Polyline sew_lanes(const Rows& rows, const std::vector<Lane>& lanes, Side start,
                             const Recipe& recipe);

// How readily a penetration gives way: soft ones first; into the end of a short row the stitch may
// be short.
enum class Rank : char { soft, hard, short_row };

// Removes penetrations until every stitch keeps the lengths said above; the first and the last
// stay. Both lists shrink together.
void keep_lengths(geometry::Polyline& points, std::vector<Rank>& ranks, const Recipe& recipe);

}  // namespace buckram::digitise
