// The order in which the sections of a fill are sewn.
//
// Law: when a section is done, those not yet sewn still hang together, and the section ends at a
// place next to one of them. So travel always has a way under rows that are still to come, and a
// fill needs no lift. The order is the post-order of a depth-first tree rooted in the section that
// holds the exit. Chen et al. (2006) find the fewest lifts when each row is sewn exactly once and
// nothing is covered later; travel under later rows makes that number zero, so it is not needed.
#pragma once

#include "digitise/sections.h"

#include <vector>

namespace buckram::digitise {

struct Visit {
  int section = 0;
  bool upward = true;    // from its lowest row to its highest, or the other way
  int onward_span = -1;  // the span next to its last row that is sewn later; -1 for the last
};

// All sections that hang together with `last`, which comes last and ends at its top or bottom. The
// part that holds section `first` is sewn as early as the law allows. O(sections + joins).
std::vector<Visit> sewing_order(const Sections& sections, int last, bool ends_at_top, int first);

}  // namespace buckram::digitise
