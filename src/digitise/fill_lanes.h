// Lanes of a section: what the needle sews from side to side, one above the other. Most are
// straight rows; a section that ends in nothing but outline ends in a cap, which follows it.
#pragma once

#include "digitise/sections.h"

#include <vector>

namespace buckram::digitise {

enum class Side { left, right };
constexpr Side other(Side side) {
  return side == Side::left ? Side::right : Side::left;
}

struct Lane {
  geometry::Polyline path;  // from left to right, in the rows' frame
  int span = 0;             // its row; of a cap: the row beside it
  bool is_cap = false;
  int far_span = -1;  // of a valley: the row beside its far end; else -1

  int outer_span() const { return far_span >= 0 ? far_span : span; }
};

// Lanes of the section from the lowest up. Straight lanes are drawn out by `past_mm` at both ends,
// so that the round ends of the thread fill the corners between them. A cap is left out where the
// outline lies less than `cap_from_mm` beyond the row: the row covers that.
std::vector<Lane> lanes_of(const Rows& rows, const Section& section, double past_mm,
                           double cap_from_mm);

geometry::Point end_of(const Lane& lane, Side side);

// Between two spans of one row the outline may dip (the top of a hole, the floor between two arms):
// the crossing where that piece of outline begins, beyond the row's end on `side`; -1 when there is
// none. `top`: above the row, else below.
int valley_beside(const Rows& rows, int span, bool top, Side side);

// The valley as a lane sewn on from the row's end beside it: its near end is on the side that the
// row ends on. Empty when the outline lies less than `from_mm` beyond the row.
Lane valley_lane(const Rows& rows, int crossing, int span, double from_mm);

// The piece of outline between the ends of two neighbouring straight lanes, from the end of `low`
// to that of `high`, without both; empty when they are not neighbours along the outline.
geometry::Polyline edge_between(const Rows& rows, const Lane& low, const Lane& high, Side side);

}  // namespace buckram::digitise
