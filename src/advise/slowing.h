// Sewing slower only where it pays, as one more change on the bench. Not part of the door.
#pragma once

#include "advise/bench_search.h"

#include <optional>

namespace buckram::advise {

// The plan sewn slower where it pays, on a bench.
struct Paced {
  stitch::Plan plan;
  cap::Bench bench;
  double breaks_per_cap = 0;
  double more_s = 0;  // a cap, than at the bench's speed throughout
};

// Empty where the speed is locked, the bench has a slowest speed already, or nothing is slowed.
std::optional<Paced> paced_on(const Judged& judged, const cap::Bench& bench);

// The best set's bench, sewn slower where it pays instead of everywhere, if that is cheaper. Not
// looked for where the best set keeps the limit at full speed: each try costs several forecasts.
std::optional<Paced> better_paced(const Judged& judged, const cap::Bench& best, double best_breaks);

// The speeds that were chosen, as a change made alone; `alone_breaks`: a cap, with those speeds on
// the bench as it stands.
Change change_of(const Judged& judged, const Paced& paced, double alone_breaks,
                 double standing_breaks);

}  // namespace buckram::advise
