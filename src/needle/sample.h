// A few hundred places that stand for the whole plan: what interval, drivers and screen work on.
#pragma once

#include "needle/places.h"

#include <vector>

namespace buckram::needle {

// Places drawn in proportion to their hazard, with a share for all alike, each with the weight that
// makes the weighted sum stand for the plan's. Systematic sampling along the places ranked by
// hazard (those of equal hazard in the order of sewing): no random numbers, the same for every
// set-up. Where `n` is no less than the number of places, all of them with weight 1.
// Law: sum of weight * hazard is the plan's sum within about hazard / sqrt(n) of a smooth plan.
struct Sample {
  std::vector<std::size_t> at;  // of the places sampled from, least hazard first
  std::vector<int> entries;     // of the plan, likewise
  std::vector<double> weights;
};
Sample sample_places(const std::vector<int>& entries, const std::vector<double>& hazard,
                     std::size_t n);

// Sum of weight times value.
double weighted_sum(const std::vector<double>& weights, const std::vector<double>& values);

}  // namespace buckram::needle
