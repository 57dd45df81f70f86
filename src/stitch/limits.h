// The craft limits that every plan keeps. A plan that breaks one is not written.
#pragma once

#include "stitch/plan.h"

#include <string>
#include <vector>

namespace buckram::stitch {

struct Limits {
  double longest_mm = 7;  // on caps; 12 on flats (common practice, no source)
  double shortest_mm =
      0.8;  // locks, row turns and column short stitches excepted: see docs/limits.md
  double shortest_any_mm = 0.25;  // no thread shorter than this anywhere but in locks
  int most_in_disc = 24;          // penetrations of the top layer within any 1 mm disc
  double past_outline_mm = 0.3;   // thread's edge beyond the artwork's compensated outline
  double thread_width_mm = 0.4;
};

struct Breach {
  std::string rule;  // what is broken, with value and limit
  int entry = 0;
  int object = 0;  // id
  geometry::Point at;
};

// Outline of one object as planned (compensated), to be stayed within.
struct ObjectOutline {
  int object = 0;
  geometry::Polygons outline;
};

// All breaches, at most 100, in order of entries: stitch too long or too short, crowded disc,
// thread past the outline, start or end not locked, not trimmed before a change or at the end.
// `outlines` may be empty: then that rule is skipped. O(entries) with grids.
std::vector<Breach> breaches(const Plan& plan, const Limits& limits,
                             const std::vector<ObjectOutline>& outlines);

// Throws Error{limit_broken} that names the first breach's object and place and how many there are.
void refuse_breaches(const Plan& plan, const std::vector<Breach>& found);

}  // namespace buckram::stitch
