// What goes instead, for artwork that cannot be placed as asked or breaks too many needles there.
#pragma once

#include "job/job.h"

#include <vector>

namespace buckram::job {

// At most 6, of: smaller on this cap and mount, moved up or down there, and the other mounts that
// the shop owns (all shipped where it has not said) and caps shipped that take it at the asked
// size; mounts for cut panels only where the asked one is. Each is planned and forecast: breaks,
// minutes, and in `set` the bench changes that help most where it is over the shop's limit. Those
// within the limit, with `set` made, come before those over it, each kind nearest first; over it
// they say so in `why`, and are left out when three are within. A smaller size here is always among
// them where one fits, within the limit where one of at least a third is. Empty when it fits as
// asked. Costs a plan and a forecast an offer, about a second each, and up to seven more for the
// size that keeps within the limit.
std::vector<advise::Offer> offers(const Resolved& job, const artwork::Drawing& drawing,
                                  const base::Watch& watch = {});

// For a plan that passes the limit of breaks on this bench whatever is changed on it: at most 6
// that keep within it, nearest first, of: moved up this front, smaller here (down to a third), on
// the other mounts that the counter offers, on the other caps shipped. Empty where none does.
// Requires planned.plan. A short forecast each, and a plan for each of at most seven smaller sizes
// and for each size and seam that other caps and mounts need.
std::vector<advise::Offer> offers_within_limit(const Resolved& job, const artwork::Drawing& drawing,
                                               const Planned& planned,
                                               const base::Watch& watch = {});

}  // namespace buckram::job
