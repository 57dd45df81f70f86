#include "needle/hazard.h"

#include "needle/draws.h"
#include "needle/drivers.h"
#include "needle/evaluate.h"
#include "needle/penetration.h"
#include "needle/sample.h"
#include "needle/words.h"

#include <algorithm>
#include <cmath>

namespace buckram::needle {
namespace {

// Breaks on the sample for one draw of what is not known: constants and the field's modes.
struct Unknown {
  Mechanics mechanics;
  std::array<double, 3> modes{};
};

std::vector<Unknown> draw_unknowns(const Mechanics& mechanics, int n, std::uint64_t seed) {
  std::vector<Unknown> drawn(static_cast<std::size_t>(n), {mechanics, {}});
  base::Random random(seed ^ 0x5eedU);
  for (Unknown& each : drawn) {
    for (const Mechanics::Uncertain& constant : mechanics.uncertain) {
      each.mechanics.*constant.value *= std::exp(constant.log_sd * random.normal());
    }
    for (double& mode : each.modes) mode = random.normal();
  }
  return drawn;
}

// 90 % interval of the mean: what is not known (the constants' spread, and the gap where it was not
// measured) drawn anew, on a sample of places. The logarithm of the result is close to normal, so
// its 5th and 95th percentiles come from its moments, which 48 draws give within a tenth.
void set_interval(const stitch::Plan& plan, const cap::Setup& setup, const Mechanics& mechanics,
                  const std::vector<double>& layers, const Sample& sample, std::uint64_t seed,
                  Forecast& forecast) {
  constexpr int kUnknowns = 48, kCaps = 16;
  constexpr double kNinety = 1.644854;  // normal quantile of 0.95
  forecast.low = forecast.high = forecast.breaks_per_cap;
  if (forecast.breaks_per_cap <= 0) return;
  std::vector<double> logs;
  for (const Unknown& each : draw_unknowns(mechanics, kUnknowns, seed)) {
    const Places places = places_of(plan, setup, each.mechanics, layers, sample.entries);
    const auto caps = draw_caps(each.mechanics, kCaps, seed, each.modes);
    const double sum = weighted_sum(sample.weights, evaluate(places, each.mechanics, caps).hazard);
    logs.push_back(std::log(std::max(sum, 1e-15)));
  }
  double mean = 0, square = 0;
  for (const double l : logs) mean += l / kUnknowns;
  for (const double l : logs) square += (l - mean) * (l - mean) / (kUnknowns - 1);
  // The forecast is the mean over everything; a lognormal's median lies under its mean.
  const double median = std::log(forecast.breaks_per_cap) - std::min(square / 2, 1.0);
  const double reach = kNinety * std::sqrt(square);
  forecast.low = std::min(std::exp(median - reach), forecast.breaks_per_cap);
  forecast.high = std::max(std::exp(median + reach), forecast.breaks_per_cap);
}

void set_gap(const Places& all, Forecast& forecast) {
  for (const Place& place : all.places) {
    const double gap = cap::gap_point(place.gap, {}).gap_mm;
    forecast.gap_mean_mm += gap / static_cast<double>(all.places.size());
    forecast.gap_max_mm = std::max(forecast.gap_max_mm, gap);
  }
}

}  // namespace

const char* name(Mode mode) {
  switch (mode) {
    case Mode::plate:
      return "plate";
    case Mode::hook:
      return "hook";
    case Mode::bend:
      return "bend";
    case Mode::buckle:
      return "buckle";
  }
  return "";
}

Forecast forecast(const stitch::Plan& plan, const cap::Setup& setup, const Mechanics& mechanics,
                  const ForecastOptions& options, const base::Watch& watch) {
  Forecast forecast;
  forecast.hazard.assign(static_cast<std::size_t>(plan.size()), 0);
  watch.at("forecasting breaks", 0.7);
  const std::vector<double> layers = crowding(plan, mechanics);
  const Places all = places_of(plan, setup, mechanics, layers);
  if (all.places.empty()) return forecast;
  const Ranked ranked = evaluate_ranked(
      all, mechanics, draw_caps(mechanics, options.draws, options.seed),
      options.former ? options.former->remembered.get() : nullptr, options.remember);
  const Evaluation& found = ranked.all;
  forecast.remembered = ranked.remembered;
  for (std::size_t k = 0; k < all.entries.size(); ++k) {
    forecast.hazard[static_cast<std::size_t>(all.entries[k])] = found.hazard[k];
  }
  forecast.breaks_per_cap = found.breaks;
  forecast.clean_cap = found.clean_cap;
  forecast.by_mode = found.by_mode;
  set_gap(all, forecast);

  if (options.with_interval) {
    watch.at("forecasting breaks", 0.75);
    set_interval(plan, setup, mechanics, layers, ranked.sample, options.seed, forecast);
  }
  if (options.with_drivers) {
    watch.at("finding what drives them", 0.8);
    forecast.drivers = drivers(plan, setup, mechanics, layers, ranked.sample, options.seed);
  }
  if (options.with_words) {
    forecast.worst = worst_places({plan, setup, mechanics, layers}, all, found, options.locked);
  }
  return forecast;
}

}  // namespace buckram::needle
