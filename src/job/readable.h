// Whether what is sewn can be read, for the verdict: a needle that does not break is no reason to
// sew a logo that nobody can make out.
#pragma once

#include "job/job.h"

#include <optional>

namespace buckram::job {

// Capitals that are lower than this in thread of size 40 run into each other (common practice, no
// source: 4 to 5 mm).
inline constexpr double kLowestCapitalsMm = 4;
// Per cent of the artwork's area. Thread past the outline: lettering of 4.5 mm, which reads, has
// 45, of 3.5 mm 74, of 2.5 mm 89; pictures at 25 mm have under 1. Missed and left out together:
// pictures at 25 mm have 1.1 at most.
inline constexpr double kMostSpilled = 60, kMostLost = 10;

// A note of kind "unreadable" that says why, and from which size on it reads where that is known;
// empty for what can be read.
std::optional<artwork::Note> unreadable(const Resolved& job, const Planned& planned,
                                        const advise::Coverage& coverage);

}  // namespace buckram::job
