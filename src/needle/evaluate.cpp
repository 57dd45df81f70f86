#include "needle/evaluate.h"

#include "needle/remembered.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <utility>

namespace buckram::needle {
namespace {

constexpr std::size_t kChunk = 128;  // places a task; fixed, so that sums do not depend on threads

// Two caps side by side. Where the number is odd the last one stands alone, its mate with weight 0.
struct PairOfCaps {
  CapDrawOf<base::Pair> draw;
  base::Pair weight{};
};

std::vector<PairOfCaps> paired(const std::vector<WeightedCap>& caps) {
  std::vector<PairOfCaps> pairs((caps.size() + 1) / 2);
  for (std::size_t c = 0; c < 2 * pairs.size(); ++c) {
    const CapDraw& cap = caps[std::min(c, caps.size() - 1)].cap;
    PairOfCaps& pair = pairs[c / 2];
    const std::size_t lane = c % 2;
    pair.draw.hardness[lane] = cap.hardness;
    pair.draw.gap.gap_factor[lane] = cap.gap.gap_factor;
    pair.draw.gap.slope_factor[lane] = cap.gap.slope_factor;
    for (std::size_t k = 0; k < 3; ++k) pair.draw.gap.modes[k][lane] = cap.gap.modes[k];
    pair.draw.alignment_x[lane] = cap.alignment_x;
    pair.draw.alignment_y[lane] = cap.alignment_y;
    pair.draw.alignment_mm2[lane] = cap.alignment_mm2;
    pair.draw.strength[lane] = cap.strength;
    pair.weight[lane] = c < caps.size() ? caps[c].weight : 0;
  }
  return pairs;
}

// `by_pair`: chance on each pair of caps.
PlaceChance chance_at(const Place& place, const Blade& blade, const Mechanics& m,
                      const std::vector<PairOfCaps>& caps, const Care& care,
                      std::vector<base::Pair>& by_pair) {
  std::array<base::Pair, 4> modes{};
  base::Pair sum{};
  for (std::size_t c = 0; c < caps.size(); ++c) {
    const PushOf<base::Pair> push = push_at(place, blade, m, caps[c].draw);
    const FailureOf<base::Pair> failure = failure_at(push, blade, m, caps[c].draw, care);
    sum += caps[c].weight * failure.any;
    by_pair[c] = failure.any;
    for (std::size_t k = 0; k < 4; ++k) modes[k] += caps[c].weight * failure.by_mode[k];
  }
  PlaceChance chance;
  chance.hazard = sum[0] + sum[1];
  for (std::size_t k = 0; k < 4; ++k) chance.by_mode[k] = modes[k][0] + modes[k][1];
  return chance;
}

Mode likeliest(const PlaceChance& chance) {
  const auto& p = chance.by_mode;
  return static_cast<Mode>(std::max_element(p.begin(), p.end()) - p.begin());
}

double log_clean(double p) {
  return std::log1p(-std::min(p, 1 - 1e-12));
}

// Mean over caps of prod(1 - p).
double clean_cap(const std::vector<WeightedCap>& caps, const std::vector<double>& log_clean) {
  double sum = 1;
  for (std::size_t c = 0; c < caps.size(); ++c) sum += caps[c].weight * std::expm1(log_clean[c]);
  return std::clamp(sum, 0.0, 1.0);
}

// The pilot ranks places and shows how they differ; what it is off by shows on all caps.
constexpr Care kCoarse{.widths = 2.4, .least_directions = 8};

std::vector<PlaceChance> pilot_of(const Places& all, const Mechanics& m, const Remembered* former) {
  const std::vector<PairOfCaps> pairs = paired(pilot_caps(m));
  std::vector<PlaceChance> chances(all.places.size());
  base::parallel_for(
      chances.size(),
      [&](std::size_t k) {
        const PlaceChance* known = former ? former->pilot(all.places[k]) : nullptr;
        std::vector<base::Pair> by_pair(pairs.size());
        chances[k] =
            known ? *known : chance_at(all.places[k], all.blade, m, pairs, kCoarse, by_pair);
      },
      kChunk);
  return chances;
}

std::vector<PlaceChance> on_all_caps(const Places& all, const std::vector<std::size_t>& at,
                                     const Mechanics& m, const std::vector<WeightedCap>& caps,
                                     const Remembered* former) {
  const std::vector<PairOfCaps> pairs = paired(caps);
  std::vector<PlaceChance> chances(at.size());
  base::parallel_for(at.size(), [&](std::size_t j) {
    const Place& place = all.places[at[j]];
    const PlaceChance* known = former ? former->sampled(place) : nullptr;
    if (known) {
      chances[j] = *known;
      return;
    }
    std::vector<base::Pair> by_pair(pairs.size());
    chances[j] = chance_at(place, all.blade, m, pairs, {}, by_pair);
    chances[j].by_cap.resize(caps.size());
    for (std::size_t c = 0; c < caps.size(); ++c) chances[j].by_cap[c] = by_pair[c / 2][c % 2];
  });
  return chances;
}

// What all caps make of the pilot's chance, for every place of the sample: the mean over its
// neighbours in the ranking, since one place's own ratio scatters.
std::vector<double> ratios_along(const std::vector<double>& weights,
                                 const std::vector<PlaceChance>& full,
                                 const std::vector<double>& pilot) {
  constexpr std::ptrdiff_t kNeighbours = 6;  // on either side
  const auto n = static_cast<std::ptrdiff_t>(full.size());
  std::vector<double> ratios;
  for (std::ptrdiff_t j = 0; j < n; ++j) {
    double above = 0, below = 0;
    for (auto i = std::max<std::ptrdiff_t>(0, j - kNeighbours);
         i <= std::min(n - 1, j + kNeighbours); ++i) {
      const auto k = static_cast<std::size_t>(i);
      above += weights[k] * full[k].hazard;
      below += weights[k] * pilot[k];
    }
    ratios.push_back(below > 0 ? above / below : 1);
  }
  return ratios;
}

}  // namespace

Evaluation evaluate(const Places& all, const Mechanics& mechanics,
                    const std::vector<WeightedCap>& caps) {
  struct ChunkSums {
    std::vector<double> log_clean;  // per cap
    std::array<double, 4> by_mode{};
  };
  const std::size_t n = all.places.size();
  const std::vector<PairOfCaps> pairs = paired(caps);
  Evaluation result;
  result.hazard.assign(n, 0);
  result.mode.assign(n, Mode::plate);
  std::vector<ChunkSums> chunks((n + kChunk - 1) / kChunk);
  base::parallel_for(chunks.size(), [&](std::size_t chunk) {
    ChunkSums& sums = chunks[chunk];
    sums.log_clean.assign(caps.size(), 0);
    std::vector<base::Pair> by_pair(pairs.size());
    for (std::size_t k = chunk * kChunk; k < std::min(n, (chunk + 1) * kChunk); ++k) {
      const PlaceChance chance = chance_at(all.places[k], all.blade, mechanics, pairs, {}, by_pair);
      result.hazard[k] = chance.hazard;
      result.mode[k] = likeliest(chance);
      for (std::size_t m = 0; m < 4; ++m) sums.by_mode[m] += chance.by_mode[m];
      for (std::size_t c = 0; c < caps.size(); ++c) {
        sums.log_clean[c] += log_clean(by_pair[c / 2][c % 2]);
      }
    }
  });
  std::vector<double> clean(caps.size(), 0.0);
  for (const ChunkSums& sums : chunks) {
    for (std::size_t c = 0; c < caps.size(); ++c) clean[c] += sums.log_clean[c];
    for (std::size_t m = 0; m < 4; ++m) result.by_mode[m] += sums.by_mode[m];
  }
  result.breaks = std::accumulate(result.hazard.begin(), result.hazard.end(), 0.0);
  result.clean_cap = clean_cap(caps, clean);
  return result;
}

Ranked evaluate_ranked(const Places& all, const Mechanics& mechanics,
                       const std::vector<WeightedCap>& caps, const Remembered* former,
                       bool remember) {
  if (former && !former->is_of(all.blade, mechanics, caps)) former = nullptr;
  Ranked ranked;
  Evaluation& result = ranked.all;
  std::vector<PlaceChance> pilot = pilot_of(all, mechanics, former);
  for (const PlaceChance& each : pilot) {
    result.hazard.push_back(each.hazard);
    result.mode.push_back(likeliest(each));
  }
  Sample& sample = ranked.sample;
  sample = sample_places(all.entries, result.hazard, kSampled);
  std::vector<PlaceChance> full = on_all_caps(all, sample.at, mechanics, caps, former);

  std::vector<double> pilot_of_sample;
  for (const std::size_t k : sample.at) pilot_of_sample.push_back(result.hazard[k]);
  const std::vector<double> ratios = ratios_along(sample.weights, full, pilot_of_sample);
  for (double& p : result.hazard) {
    const auto above = static_cast<std::size_t>(
        std::upper_bound(pilot_of_sample.begin(), pilot_of_sample.end(), p) -
        pilot_of_sample.begin());
    const double lower = ratios[above > 0 ? above - 1 : 0];
    const double upper = ratios[std::min(above, ratios.size() - 1)];
    p = std::min(1.0, p * (lower + upper) / 2);
  }
  std::vector<double> clean(caps.size(), 0.0);
  double seen = 0;
  for (std::size_t j = 0; j < full.size(); ++j) {
    result.hazard[sample.at[j]] = full[j].hazard;
    result.mode[sample.at[j]] = likeliest(full[j]);
    seen += sample.weights[j] * full[j].hazard;
  }
  result.breaks = std::accumulate(result.hazard.begin(), result.hazard.end(), 0.0);
  // The sample's weights, put right by what the whole plan came to.
  const double scale = seen > 0 ? result.breaks / seen : 1;
  for (std::size_t j = 0; j < full.size(); ++j) {
    double& weight = sample.weights[j];
    weight *= scale;
    for (std::size_t m = 0; m < 4; ++m) result.by_mode[m] += weight * full[j].by_mode[m];
    for (std::size_t c = 0; c < caps.size(); ++c) {
      clean[c] += weight * log_clean(full[j].by_cap[c]);
    }
  }
  result.clean_cap = clean_cap(caps, clean);
  if (remember) {
    ranked.remembered = std::make_shared<const Remembered>(all, mechanics, caps, std::move(pilot),
                                                           sample.at, std::move(full));
  }
  return ranked;
}

}  // namespace buckram::needle
