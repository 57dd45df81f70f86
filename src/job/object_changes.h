// Other stitches for the few objects that hold most of the breaks. Not part of the door.
#pragma once

#include "job/stitch_changes.h"

namespace buckram::job {

// What is usual on caps (common practice, no source), and how near to it is near enough.
inline constexpr double kUsualRowMm = 0.40, kUsualColumnMm = 0.40, kLongestUsualFillMm = 4.0;
inline constexpr double kDenser = 0.02;  // nearer to the usual is not worth a change

bool has_locked_object(const std::vector<std::string>& locked);

// As stitch_changes(), of single objects; those of objects whose number is locked are left out.
std::vector<advise::Restitch> object_changes(const Resolved& job, const Planned& planned,
                                             const needle::Forecast& standing);

}  // namespace buckram::job
