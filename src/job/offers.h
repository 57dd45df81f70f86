// What fits instead, for artwork that cannot be placed as asked.
#pragma once

#include "job/job.h"

#include <vector>

namespace buckram::job {

// Nearest first, at most 6, of: smaller on this cap and mount, moved up or down there, and the
// other mounts and caps shipped that take it at the asked size. Each is planned and forecast:
// breaks, minutes, and in `set` the bench changes that help most where it is over the shop's limit.
// Empty when it fits as asked. Costs a plan and a forecast an offer, about a second each.
std::vector<advise::Offer> offers(const Resolved& job, const artwork::Drawing& drawing,
                                  const base::Watch& watch = {});

}  // namespace buckram::job
