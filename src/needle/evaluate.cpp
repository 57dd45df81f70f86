#include "needle/evaluate.h"

#include "needle/remembered.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <utility>

namespace buckram::needle {
namespace {

constexpr std::size_t kChunk = 128;  // places a task; fixed, so that sums do not depend on threads

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
constexpr Care kCoarse{.widths = 2.4, .least_directions = 8, .swings = false};

std::vector<PlaceChance> pilot_of(const Places& all, const Mechanics& m, const Remembered* former) {
  const std::vector<FourCaps> fours = by_fours(pilot_caps(m));
  std::vector<PlaceChance> chances(all.places.size());
  base::parallel_for(
      chances.size(),
      [&](std::size_t k) {
        const PlaceChance* known = former ? former->pilot(all.places[k]) : nullptr;
        std::vector<double> by_cap(4 * fours.size());
        chances[k] =
            known ? *known : chance_at(all.places[k], all.blade, m, fours, kCoarse, by_cap);
      },
      kChunk);
  return chances;
}

std::vector<PlaceChance> on_all_caps(const Places& all, const std::vector<std::size_t>& at,
                                     const Mechanics& m, const std::vector<WeightedCap>& caps,
                                     const Remembered* former) {
  const std::vector<FourCaps> fours = by_fours(caps);
  std::vector<PlaceChance> chances(at.size());
  base::parallel_for(at.size(), [&](std::size_t j) {
    const Place& place = all.places[at[j]];
    const PlaceChance* known = former ? former->sampled(place) : nullptr;
    if (known) {
      chances[j] = *known;
      return;
    }
    std::vector<double> by_cap(4 * fours.size());
    chances[j] = chance_at(place, all.blade, m, fours, {}, by_cap);
    by_cap.resize(caps.size());
    chances[j].by_cap = std::move(by_cap);
  });
  return chances;
}

// Bending is told apart from the rest: steel breaks on the hardest caps only, which the pilot
// hardly reaches, and what all caps make of that says nothing of places that do not bend.
std::vector<double> part_of(const std::vector<PlaceChance>& chances, bool is_bending) {
  std::vector<double> parts;
  for (const PlaceChance& each : chances) {
    const double bent = each.by_mode[static_cast<std::size_t>(Mode::bend)];
    const double all = std::accumulate(each.by_mode.begin(), each.by_mode.end(), 0.0);
    const double share = all > 0 ? bent / all : 0;
    parts.push_back(each.hazard * (is_bending ? share : 1 - share));
  }
  return parts;
}

// The pilot's `part` of every place times what all caps made of it: the mean over its neighbours
// among the sampled places ranked by that part, since one place's own ratio scatters.
std::vector<double> on_all_places(const std::vector<double>& part, const Sample& sample,
                                  const std::vector<double>& of_sample) {
  constexpr std::size_t kNeighbours = 6;  // on either side
  const std::size_t n = of_sample.size();
  std::vector<std::size_t> order(n);
  std::iota(order.begin(), order.end(), 0U);
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return part[sample.at[a]] < part[sample.at[b]];
  });
  std::vector<double> ranked, ratios;
  for (std::size_t j = 0; j < n; ++j) {
    double above = 0, below = 0;
    for (std::size_t i = j - std::min(j, kNeighbours); i <= std::min(n - 1, j + kNeighbours); ++i) {
      const std::size_t k = order[i];
      above += sample.weights[k] * of_sample[k];
      below += sample.weights[k] * part[sample.at[k]];
    }
    ranked.push_back(part[sample.at[order[j]]]);
    ratios.push_back(below > 0 ? above / below : 1);
  }
  std::vector<double> found;
  for (const double p : part) {
    const auto next = static_cast<std::size_t>(std::upper_bound(ranked.begin(), ranked.end(), p) -
                                               ranked.begin());
    const double lower = ratios[next > 0 ? next - 1 : 0], upper = ratios[std::min(next, n - 1)];
    found.push_back(p * (lower + upper) / 2);
  }
  return found;
}

}  // namespace

Evaluation evaluate(const Places& all, const Mechanics& mechanics,
                    const std::vector<WeightedCap>& caps) {
  struct ChunkSums {
    std::vector<double> log_clean;  // per cap
    std::array<double, 4> by_mode{};
  };
  const std::size_t n = all.places.size();
  const std::vector<FourCaps> fours = by_fours(caps);
  Evaluation result;
  result.hazard.assign(n, 0);
  result.mode.assign(n, Mode::plate);
  std::vector<ChunkSums> chunks((n + kChunk - 1) / kChunk);
  base::parallel_for(chunks.size(), [&](std::size_t chunk) {
    ChunkSums& sums = chunks[chunk];
    sums.log_clean.assign(caps.size(), 0);
    std::vector<double> by_cap(4 * fours.size());
    for (std::size_t k = chunk * kChunk; k < std::min(n, (chunk + 1) * kChunk); ++k) {
      const PlaceChance chance = chance_at(all.places[k], all.blade, mechanics, fours, {}, by_cap);
      result.hazard[k] = chance.hazard;
      result.mode[k] = likeliest(chance);
      for (std::size_t m = 0; m < 4; ++m) sums.by_mode[m] += chance.by_mode[m];
      for (std::size_t c = 0; c < caps.size(); ++c) {
        sums.log_clean[c] += log_clean(by_cap[c]);
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

  result.hazard = on_all_places(part_of(pilot, false), sample, part_of(full, false));
  const std::vector<double> bent = on_all_places(part_of(pilot, true), sample, part_of(full, true));
  for (std::size_t k = 0; k < bent.size(); ++k) {
    result.hazard[k] = std::min(1.0, result.hazard[k] + bent[k]);
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
