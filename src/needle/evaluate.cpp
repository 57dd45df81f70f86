#include "needle/evaluate.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

namespace buckram::needle {
namespace {

constexpr std::size_t kChunk = 128;  // places a task; fixed, so that sums do not depend on threads

struct ChunkSums {
  std::vector<double> log_clean;  // per cap
  std::array<double, 4> by_mode{};
};

void evaluate_place(const Place& place, const Blade& blade, const Mechanics& m,
                    const std::vector<WeightedCap>& caps, double ignore, double& hazard, Mode& mode,
                    ChunkSums& sums) {
  std::array<double, 4> modes{};
  for (std::size_t c = 0; c < caps.size(); ++c) {
    const Push push = push_at(place, blade, m, caps[c].cap);
    const Failure failure = failure_at(push, blade, m, caps[c].cap, ignore);
    hazard += caps[c].weight * failure.any;
    sums.log_clean[c] += std::log1p(-std::min(failure.any, 1 - 1e-12));
    for (std::size_t k = 0; k < 4; ++k) modes[k] += caps[c].weight * failure.by_mode[k];
  }
  mode = static_cast<Mode>(std::max_element(modes.begin(), modes.end()) - modes.begin());
  for (std::size_t k = 0; k < 4; ++k) sums.by_mode[k] += modes[k];
}

// Mean over caps of prod(1 - p), where the places seen stand for `whole` times as many breaks.
double clean_cap(const std::vector<WeightedCap>& caps, const std::vector<double>& log_clean,
                 double whole) {
  double sum = 1;
  for (std::size_t c = 0; c < caps.size(); ++c) {
    sum += caps[c].weight * std::expm1(whole * log_clean[c]);
  }
  return std::clamp(sum, 0.0, 1.0);
}

}  // namespace

Evaluation evaluate(const Places& all, const Mechanics& mechanics,
                    const std::vector<WeightedCap>& caps, double ignore) {
  const std::size_t n = all.places.size();
  Evaluation result;
  result.hazard.assign(n, 0);
  result.mode.assign(n, Mode::plate);
  std::vector<ChunkSums> chunks((n + kChunk - 1) / kChunk);
  base::parallel_for(chunks.size(), [&](std::size_t chunk) {
    ChunkSums& sums = chunks[chunk];
    sums.log_clean.assign(caps.size(), 0);
    for (std::size_t k = chunk * kChunk; k < std::min(n, (chunk + 1) * kChunk); ++k) {
      evaluate_place(all.places[k], all.blade, mechanics, caps, ignore, result.hazard[k],
                     result.mode[k], sums);
    }
  });
  result.log_clean.assign(caps.size(), 0);
  for (const ChunkSums& sums : chunks) {
    for (std::size_t c = 0; c < caps.size(); ++c) result.log_clean[c] += sums.log_clean[c];
    for (std::size_t k = 0; k < 4; ++k) result.by_mode[k] += sums.by_mode[k];
  }
  for (const double p : result.hazard) result.breaks += p;
  result.clean_cap = clean_cap(caps, result.log_clean, 1);
  return result;
}

std::vector<std::size_t> carriers(const std::vector<double>& values, double share,
                                  std::size_t most) {
  std::vector<std::size_t> order(values.size());
  std::iota(order.begin(), order.end(), 0U);
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return values[a] > values[b]; });
  const double total = std::accumulate(values.begin(), values.end(), 0.0);
  double sum = 0;
  std::size_t n = 0;
  while (n < std::min(most, order.size()) && sum < share * total) sum += values[order[n++]];
  order.resize(n);
  std::sort(order.begin(), order.end());
  return order;
}

Evaluation evaluate_ranked(const Places& all, const Mechanics& mechanics,
                           const std::vector<WeightedCap>& caps) {
  if (caps.size() < 2 * kPilot) return evaluate(all, mechanics, caps);
  std::vector<WeightedCap> few(caps.begin(), caps.begin() + kPilot);
  for (WeightedCap& each : few) each.weight *= static_cast<double>(caps.size()) / kPilot;
  Evaluation result = evaluate(all, mechanics, few);

  const std::vector<std::size_t> chosen =
      carriers(result.hazard, kCarried, std::numeric_limits<std::size_t>::max());
  Places some{.entries = {}, .places = {}, .blade = all.blade};
  double pilot = 0;
  for (const std::size_t k : chosen) {
    some.entries.push_back(all.entries[k]);
    some.places.push_back(all.places[k]);
    pilot += result.hazard[k];
  }
  // What is a hundredth of the least carrier's chance cannot be seen in the sum.
  double least = 1;
  for (const std::size_t k : chosen) least = std::min(least, result.hazard[k]);
  const Evaluation full = evaluate(some, mechanics, caps, 1e-2 * least);
  const double scale = pilot > 0 ? full.breaks / pilot : 1;
  const double whole = pilot > 0 ? result.breaks / pilot : 1;  // 1 / (share of the carriers)
  for (double& p : result.hazard) p = std::min(1.0, p * scale);
  for (std::size_t j = 0; j < chosen.size(); ++j) {
    result.hazard[chosen[j]] = full.hazard[j];
    result.mode[chosen[j]] = full.mode[j];
  }
  result.breaks = std::accumulate(result.hazard.begin(), result.hazard.end(), 0.0);
  result.clean_cap = clean_cap(caps, full.log_clean, whole);
  for (std::size_t m = 0; m < 4; ++m) result.by_mode[m] = full.by_mode[m] * whole;
  return result;
}

}  // namespace buckram::needle
