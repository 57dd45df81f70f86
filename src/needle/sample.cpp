#include "needle/sample.h"

#include <algorithm>
#include <numeric>

namespace buckram::needle {

Sample sample_places(const std::vector<int>& entries, const std::vector<double>& hazard,
                     std::size_t n) {
  // So much of the sample goes to all places alike: a change may bring out others than the worst.
  constexpr double kAlike = 0.3;
  std::vector<std::size_t> order(entries.size());
  std::iota(order.begin(), order.end(), 0U);
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return hazard[a] < hazard[b]; });
  const double total = std::accumulate(hazard.begin(), hazard.end(), 0.0);
  const bool takes_all = n >= entries.size() || total <= 0;
  const double each = static_cast<double>(n);
  Sample sample;
  double so_far = 0, next = 0.5;
  for (const std::size_t k : order) {
    const double expected = takes_all ? 1.0
                                      : each * ((1 - kAlike) * hazard[k] / total +
                                                kAlike / static_cast<double>(entries.size()));
    so_far += expected;
    int times = 0;
    while (next < so_far) ++times, next += 1;
    if (times == 0) continue;
    sample.at.push_back(k);
    sample.entries.push_back(entries[k]);
    sample.weights.push_back(times / expected);
  }
  return sample;
}

double weighted_sum(const std::vector<double>& weights, const std::vector<double>& values) {
  double sum = 0;
  for (std::size_t k = 0; k < values.size(); ++k) sum += weights[k] * values[k];
  return sum;
}

}  // namespace buckram::needle
