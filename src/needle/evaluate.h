// Chance of a break at every place, over the drawn caps.
#pragma once

#include "needle/draws.h"
#include "needle/failure.h"
#include "needle/places.h"

#include <array>
#include <vector>

namespace buckram::needle {

struct Evaluation {
  std::vector<double> hazard;       // per place
  double breaks = 0;                // their sum, in order
  double clean_cap = 1;             // mean over caps of prod(1 - p)
  std::array<double, 4> by_mode{};  // breaks by Mode
  std::vector<Mode> mode;           // per place: the likeliest
  std::vector<double> log_clean;    // per cap: sum of log(1 - p)
};

// `ignore`: chances below this at one place on one cap count as none. O(places * caps), in
// parallel; the same result for any number of threads.
Evaluation evaluate(const Places& places, const Mechanics& mechanics,
                    const std::vector<WeightedCap>& caps, double ignore = 1e-13);

// The same for a whole plan, at a third of the work: a pilot of the first kPilot caps ranks the
// places; the worst, which carry kCarried of the breaks, get all caps; the rest keep the pilot's
// chances, scaled by what the full draw made of the worst (they rise and fall with the same caps).
inline constexpr std::size_t kPilot = 32;
inline constexpr double kCarried = 0.6;
Evaluation evaluate_ranked(const Places& places, const Mechanics& mechanics,
                           const std::vector<WeightedCap>& caps);

// Indices of the largest values that together make up `share` of the sum, at most `most` of them,
// in ascending order.
std::vector<std::size_t> carriers(const std::vector<double>& values, double share,
                                  std::size_t most);

}  // namespace buckram::needle
