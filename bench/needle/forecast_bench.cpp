// How long a forecast takes, part by part, on a plan of 12,000 stitches. Figures: README.md here.
#include "../../tests/needle/synthetic.h"

#include "needle/deflection.h"
#include "needle/draws.h"
#include "needle/penetration.h"
#include "needle/places.h"

#include <benchmark/benchmark.h>

namespace {

using namespace buckram;
using namespace buckram::needle::testing;

struct Case {
  std::shared_ptr<const needle::Mechanics> mechanics = shipped_mechanics();
  cap::Setup setup = shipped_setup("six-panel-structured-mid", "rotary-raised");
  stitch::Plan plan = block_logo(14, 62, 44, 1.35);
};
const Case& a_case() {
  static const Case made;
  return made;
}

void forecast_with(benchmark::State& state, const needle::ForecastOptions& options) {
  const Case& c = a_case();
  for (auto _ : state) {
    benchmark::DoNotOptimize(
        needle::forecast(c.plan, c.setup, *c.mechanics, options).breaks_per_cap);
  }
  state.counters["stitches"] = needle_downs(c.plan);
  state.counters["stitches/s"] =
      benchmark::Counter(needle_downs(c.plan), benchmark::Counter::kIsIterationInvariantRate);
}

void BM_MeanAndWorst(benchmark::State& state) {
  forecast_with(state, {.with_drivers = false, .with_interval = false});
}
void BM_WithDrivers(benchmark::State& state) {
  forecast_with(state, {.with_interval = false});
}
void BM_WithInterval(benchmark::State& state) {
  forecast_with(state, {.with_drivers = false});
}
void BM_All(benchmark::State& state) {
  forecast_with(state, {});
}

void BM_ScreenBuilt(benchmark::State& state) {
  const Case& c = a_case();
  for (auto _ : state) needle::Screen(c.plan, c.setup, *c.mechanics);
}
void BM_ScreenOneSetup(benchmark::State& state) {
  const Case& c = a_case();
  const needle::Screen screen(c.plan, c.setup, *c.mechanics);
  cap::Setup changed = c.setup;
  changed.bench.has_clips = true;
  for (auto _ : state) benchmark::DoNotOptimize(screen.breaks_per_cap(changed));
}

// One cap of plain Monte Carlo (the pushes only): what the closed forms are measured against. A
// standard error of 2 % at 3 breaks per 100 caps takes about 80,000 caps.
void BM_BruteForceOneCap(benchmark::State& state) {
  const Case& c = a_case();
  const auto places =
      needle::places_of(c.plan, c.setup, *c.mechanics, needle::crowding(c.plan, *c.mechanics));
  for (auto _ : state) {
    double sum = 0;
    for (const needle::Place& place : places.places) {
      sum += needle::push_at(place, places.blade, *c.mechanics, needle::mean_cap()).xx;
    }
    benchmark::DoNotOptimize(sum);
  }
}

BENCHMARK(BM_MeanAndWorst)->Unit(benchmark::kMillisecond)->UseRealTime();
BENCHMARK(BM_WithDrivers)->Unit(benchmark::kMillisecond)->UseRealTime();
BENCHMARK(BM_WithInterval)->Unit(benchmark::kMillisecond)->UseRealTime();
BENCHMARK(BM_All)->Unit(benchmark::kMillisecond)->UseRealTime();
BENCHMARK(BM_ScreenBuilt)->Unit(benchmark::kMillisecond)->UseRealTime();
BENCHMARK(BM_ScreenOneSetup)->Unit(benchmark::kMillisecond)->UseRealTime();
BENCHMARK(BM_BruteForceOneCap)->Unit(benchmark::kMillisecond)->UseRealTime();

}  // namespace
