// Other ways to sew a job that advice may try. Not part of the door.
#pragma once

#include "job/job.h"

#include <vector>

namespace buckram::job {

// `job` with size and place pinned to where its artwork came to lie (artwork.height_mm or width_mm,
// artwork.at_mm). Lighter only, back to what is usual on caps (common practice, no source): under
// it, under-stitching and spacing that hold the design could be taken away, and nothing here
// computes what that would cost. Moves go up, away from the bill. Locked ones are left out; all,
// where an object is locked, for any of them may change it.
std::vector<advise::Restitch> stitch_changes(const Job& pinned, const digitise::Recipe& recipe);

}  // namespace buckram::job
