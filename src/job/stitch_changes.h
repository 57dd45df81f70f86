// Other ways to sew a job that advice may try. Not part of the door.
#pragma once

#include "job/job.h"

#include <string>
#include <vector>

namespace buckram::job {

// `pinned`: the job with size and place pinned to where its artwork came to lie
// (artwork.height_mm or width_mm, artwork.at_mm); `planned` and `standing` are of it as it stands.
//
// Of the whole design: lighter only, back to what is usual on caps (common practice, no source):
// under it, under-stitching and spacing that hold the design could be taken away, and nothing here
// computes what that would cost. Moves go up, away from the bill.
// Of single objects: of at most kMostCarriers that hold at least kLeastShare of the breaks each,
// most first. Named by their element where that is sewn as one object, for that name stays when the
// job is planned otherwise; else by their number.
// Locked ones are left out; where an object is locked, all changes of the whole design are, and
// those of that object.
inline constexpr std::size_t kMostCarriers = 6;
inline constexpr double kLeastShare = 0.05;
std::vector<advise::Restitch> stitch_changes(const Job& pinned, const Resolved& job,
                                             const Planned& planned,
                                             const needle::Forecast& standing);

// Whether the objects whose numbers `ids` name are the same pieces of artwork in both plans, and
// not others that have got their numbers.
bool are_same_objects(const std::vector<std::string>& ids, const Planned& before,
                      const Planned& after);

}  // namespace buckram::job
