// Sewing a stack of sections without a lift: travel to each, then its lanes to and fro. Not part of
// the door.
#pragma once

#include "digitise/fill_lanes.h"
#include "digitise/fill_order.h"
#include "digitise/recipe.h"

#include <vector>

namespace buckram::digitise {

struct RowStyle {
  double stitch_mm = 3.75;
  double longest_mm = 7;
  double shortest_mm = 0.8;
  double past_mm = 0;  // rows drawn out beyond the outline they are cut by; negative: short of it
  double cap_from_mm = 0.15;  // see lanes_of; infinite: no caps
  double travel_mm = 2.2;     // stitches of travel between sections
  double brick = 0.38;        // shift from row to row, in stitches: no holes line up over 4 rows
  bool follow_edge = true;    // turns along the outline where it is shallow
};

// Where a fill can end: a corner of a section.
struct RowEnd {
  int section = 0;
  bool top = false;
  Side side = Side::left;
};

struct RowRun {
  geometry::Polyline travel;  // before the lanes, in the rows' frame; first point left out
  geometry::Polyline lanes;   // first needle-down of the first lane to the last
};

// Sews every section from `entry` so that the last ends at `end`. All in the rows' frame.
std::vector<RowRun> sew_sections(const Rows& rows, const Sections& sections, geometry::Point entry,
                                 const RowEnd& end, const RowStyle& style);

// The place where sewing comes to rest at such an end.
geometry::Point place_of(const Rows& rows, const Sections& sections, const RowEnd& end,
                         const RowStyle& style);

// The end nearest to p. Sections of one lane too.
RowEnd nearest_end(const Rows& rows, const Sections& sections, geometry::Point p,
                   const RowStyle& style);

}  // namespace buckram::digitise
