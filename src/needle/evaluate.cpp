#include "needle/evaluate.h"

#include <algorithm>
#include <cmath>

namespace buckram::needle {
namespace {

constexpr std::size_t kChunk = 128;  // places a task; fixed, so that sums do not depend on threads

struct ChunkSums {
  std::vector<double> log_clean;  // per cap
  std::array<double, 4> by_mode{};
};

void evaluate_place(const Place& place, const Blade& blade, const Mechanics& m,
                    const std::vector<WeightedCap>& caps, double& hazard, Mode& mode,
                    ChunkSums& sums) {
  std::array<double, 4> modes{};
  for (std::size_t c = 0; c < caps.size(); ++c) {
    const Push push = push_at(place, blade, m, caps[c].cap);
    const Failure failure = failure_at(push, blade, m, caps[c].cap);
    hazard += caps[c].weight * failure.any;
    sums.log_clean[c] += std::log1p(-std::min(failure.any, 1 - 1e-12));
    for (std::size_t k = 0; k < 4; ++k) modes[k] += caps[c].weight * failure.by_mode[k];
  }
  mode = static_cast<Mode>(std::max_element(modes.begin(), modes.end()) - modes.begin());
  for (std::size_t k = 0; k < 4; ++k) sums.by_mode[k] += modes[k];
}

}  // namespace

Evaluation evaluate(const Places& all, const Mechanics& mechanics,
                    const std::vector<WeightedCap>& caps) {
  const std::size_t n = all.places.size();
  Evaluation result;
  result.hazard.assign(n, 0);
  result.mode.assign(n, Mode::plate);
  std::vector<ChunkSums> chunks((n + kChunk - 1) / kChunk);
  base::parallel_for(chunks.size(), [&](std::size_t chunk) {
    ChunkSums& sums = chunks[chunk];
    sums.log_clean.assign(caps.size(), 0);
    for (std::size_t k = chunk * kChunk; k < std::min(n, (chunk + 1) * kChunk); ++k) {
      evaluate_place(all.places[k], all.blade, mechanics, caps, result.hazard[k], result.mode[k],
                     sums);
    }
  });
  std::vector<double> log_clean(caps.size(), 0);
  for (const ChunkSums& sums : chunks) {
    for (std::size_t c = 0; c < caps.size(); ++c) log_clean[c] += sums.log_clean[c];
    for (std::size_t k = 0; k < 4; ++k) result.by_mode[k] += sums.by_mode[k];
  }
  for (const double p : result.hazard) result.breaks += p;
  result.clean_cap = 0;
  for (std::size_t c = 0; c < caps.size(); ++c) {
    result.clean_cap += caps[c].weight * std::exp(log_clean[c]);
  }
  return result;
}

}  // namespace buckram::needle
