// Simple shapes beside plain straight rows: what the planner's fills are better at, and what it
// costs.
//
// The plain rows are what a first attempt would sew: one angle, a thread's width apart, cut by the
// outline, to and fro; where no neighbouring row goes on within the trim limit the thread is cut.
#pragma once

#include "score.h"

namespace quality {

struct Compared {
  std::string name;
  Score ours, plain, inset;
};

struct PlainOptions {
  double row_mm = 0.40;
  double stitch_mm = 3.75;
  double inset_mm = 0;  // row ends from the outline; half a thread puts its edge there
};

// The plan with its stitches replaced by plain rows over what the artwork shows; of one thread.
buckram::job::Planned plain_rows(const buckram::job::Planned& planned,
                                 const PlainOptions& options = {});

void print_table(const std::vector<Compared>& shapes);

}  // namespace quality
