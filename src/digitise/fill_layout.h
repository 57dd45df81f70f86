// A fill laid out for sewing: rows, sections, and what is needed to choose where it ends.
#pragma once

#include "digitise/fill_lanes.h"
#include "digitise/objects.h"
#include "digitise/recipe.h"

#include <vector>

namespace buckram::digitise {

struct Layout {
  geometry::Polygons outline;  // where the thread's edge lies
  Rows rows;                   // their ends half a thread inside it
  Sections sections;
};

// `outline` may be empty: then it is the area grown by the compensation. When half a thread of
// inset would cut the area in two at a neck, as much less is taken as keeps it whole.
Layout make_layout(const Fill& fill, const geometry::Polygons& outline, const Recipe& recipe);

std::vector<Lane> lanes_of(const Layout& layout, int section);
Lane valley_lane(const Layout& layout, int crossing, int span);

// A place where the last row can end: a lane's end.
struct Finish {
  int section = 0;
  int span = 0;  // Rows::spans: the lane's row; a cap's neighbour
  bool on_cap = false;
  Side side = Side::left;
  geometry::Point at;  // in the rows' frame
};

// The finish nearest to p (in the rows' frame). O(spans). Requires that there is a span.
Finish nearest_finish(const Layout& layout, geometry::Point p);

// Cuts the finish's section, where needed, so that one part can end there: that part, and whether
// it ends at its top.
struct LastPart {
  int section = 0;
  bool ends_at_top = false;
};
LastPart cut_at(Layout& layout, const Finish& finish);

}  // namespace buckram::digitise
