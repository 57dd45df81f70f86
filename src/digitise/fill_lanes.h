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
};

// Lanes of the section from the lowest up. Straight lanes are drawn out by `past_mm` at both ends,
// so that the round ends of the thread fill the corners between them. A cap is left out where the
// outline lies less than `cap_from_mm` beyond the row: the row covers that.
std::vector<Lane> lanes_of(const Rows& rows, const Section& section, double past_mm,
                           double cap_from_mm);

geometry::Point end_of(const Lane& lane, Side side);

// The piece of outline between the ends of two neighbouring straight lanes, from the end of `low`
// to that of `high`, without both; empty when they are not neighbours along the outline.
geometry::Polyline edge_between(const Rows& rows, const Lane& low, const Lane& high, Side side);

}  // namespace buckram::digitise
