#include "needle/sample.h"

#include <numeric>

namespace buckram::needle {

Sample sample_places(const std::vector<int>& entries, const std::vector<double>& hazard,
                     std::size_t n) {
  // So much of the sample goes to all places alike: a change may bring out others than the worst.
  constexpr double kAlike = 0.3;
  Sample sample;
  const double total = std::accumulate(hazard.begin(), hazard.end(), 0.0);
  if (n >= entries.size() || total <= 0) {
    sample.entries = entries;
    sample.weights.assign(entries.size(), 1.0);
    return sample;
  }
  const double each = static_cast<double>(n);
  double so_far = 0, next = 0.5;
  for (std::size_t k = 0; k < entries.size(); ++k) {
    const double expected =
        each * ((1 - kAlike) * hazard[k] / total + kAlike / static_cast<double>(entries.size()));
    so_far += expected;
    int times = 0;
    while (next < so_far) ++times, next += 1;
    if (times == 0) continue;
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
