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
};

// O(places * caps), in parallel; the same result for any number of threads.
Evaluation evaluate(const Places& places, const Mechanics& mechanics,
                    const std::vector<WeightedCap>& caps);

}  // namespace buckram::needle
