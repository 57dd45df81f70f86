// What fits instead, for artwork that cannot be placed as asked.
#pragma once

#include "job/job.h"

#include <vector>

namespace buckram::job {

// Nearest first, at most 6: smaller on this cap and mount, elsewhere at the asked size, then the
// other mounts and caps shipped that take it at the asked size, or larger than here. Breaks and
// minutes are not computed. Empty when it fits as asked.
std::vector<advise::Offer> offers(const Resolved& job, const artwork::Drawing& drawing);

}  // namespace buckram::job
