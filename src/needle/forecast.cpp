#include "needle/hazard.h"

#include "needle/draws.h"
#include "needle/drivers.h"
#include "needle/evaluate.h"
#include "needle/penetration.h"
#include "needle/words.h"

#include <algorithm>
#include <cmath>

namespace buckram::needle {
namespace {

// 90 % interval of the mean: every uncertain constant drawn from its lognormal, on the places that
// carry nearly all; the rest goes along in proportion. The ratio is close to lognormal, so its
// 5th and 95th percentiles come from its logarithm's moments.
void set_interval(const Places& all, const Mechanics& mechanics, const ForecastOptions& options,
                  const std::vector<double>& hazard, const stitch::Plan& plan,
                  const cap::Setup& setup, const std::vector<double>& layers, Forecast& forecast) {
  constexpr int kConstants = 32, kCaps = 24;
  constexpr std::size_t kPlaces = 400;
  constexpr double kNinety = 1.644854;  // normal quantile of 0.95
  forecast.low = forecast.high = forecast.breaks_per_cap;
  if (forecast.breaks_per_cap <= 0 || mechanics.uncertain.empty()) return;
  std::vector<int> entries;
  for (const std::size_t k : carriers(hazard, 0.99, kPlaces)) entries.push_back(all.entries[k]);
  const auto total = [&](const Mechanics& m) {
    const Places places = places_of(plan, setup, m, layers, entries);
    return evaluate(places, m, draw_caps(m, kCaps, options.seed)).breaks;
  };
  const double standing = total(mechanics);
  std::vector<double> logs(kConstants);
  std::vector<Mechanics> drawn(kConstants, mechanics);
  base::Random random(options.seed ^ 0x5eedU);
  for (Mechanics& m : drawn) {
    for (const Mechanics::Uncertain& each : mechanics.uncertain) {
      m.*each.value *= std::exp(each.log_sd * random.normal());
    }
  }
  for (std::size_t k = 0; k < drawn.size(); ++k) {
    logs[k] = std::log(std::max(total(drawn[k]), 1e-15) / standing);
  }
  double mean = 0, square = 0;
  for (const double l : logs) mean += l / kConstants;
  for (const double l : logs) square += (l - mean) * (l - mean) / (kConstants - 1);
  const double reach = kNinety * std::sqrt(square);
  forecast.low = forecast.breaks_per_cap * std::exp(mean - reach);
  forecast.high = forecast.breaks_per_cap * std::exp(mean + reach);
  forecast.low = std::min(forecast.low, forecast.breaks_per_cap);
  forecast.high = std::max(forecast.high, forecast.breaks_per_cap);
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
  const Evaluation found =
      evaluate_ranked(all, mechanics, draw_caps(mechanics, options.draws, options.seed));
  for (std::size_t k = 0; k < all.entries.size(); ++k) {
    forecast.hazard[static_cast<std::size_t>(all.entries[k])] = found.hazard[k];
  }
  forecast.breaks_per_cap = found.breaks;
  forecast.clean_cap = found.clean_cap;
  forecast.by_mode = found.by_mode;
  set_gap(all, forecast);

  if (options.with_interval) {
    watch.at("forecasting breaks", 0.75);
    set_interval(all, mechanics, options, found.hazard, plan, setup, layers, forecast);
  }
  if (options.with_drivers) {
    watch.at("finding what drives them", 0.8);
    std::vector<int> entries;
    for (const std::size_t k : carriers(found.hazard, 0.95, 600)) entries.push_back(all.entries[k]);
    forecast.drivers = drivers(plan, setup, mechanics, layers, entries, options.seed);
  }
  if (options.with_words) forecast.worst = worst_places(plan, setup, mechanics, all, found);
  return forecast;
}

}  // namespace buckram::needle
