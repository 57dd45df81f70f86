// How long a forecast takes, part by part, on plans of 3,000, 12,000 and 30,000 penetrations.
// Figures: README.md here. CPU is that of all threads; on two free cores it takes half of it.
#include "../../tests/needle/synthetic.h"

#include "needle/deflection.h"
#include "needle/draws.h"
#include "needle/penetration.h"
#include "needle/places.h"

#include <benchmark/benchmark.h>

#include <cmath>
#include <map>

namespace {

using namespace buckram;
using namespace buckram::needle::testing;

struct World {
  std::shared_ptr<const needle::Mechanics> mechanics = shipped_mechanics();
  cap::Setup setup = shipped_setup("six-panel-structured-mid", "rotary-raised");
};
const World& world() {
  static const World made;
  return made;
}

// A logo of blocks, 48 mm tall, with stitches short enough for that many penetrations.
const stitch::Plan& plan_of(std::int64_t downs) {
  static std::map<std::int64_t, stitch::Plan> made;
  const auto [at, is_new] = made.try_emplace(downs);
  if (!is_new) return at->second;
  double low = 0.1, high = 12;
  for (int k = 0; k < 20; ++k) {
    const double stitch_mm = std::sqrt(low * high);
    at->second = block_logo(14, 62, 44, stitch_mm);
    (needle_downs(at->second) > downs ? low : high) = stitch_mm;
  }
  return at->second;
}

void tell(benchmark::State& state, const stitch::Plan& plan) {
  state.counters["stitches"] = needle_downs(plan);
  state.counters["stitches/s"] =
      benchmark::Counter(needle_downs(plan), benchmark::Counter::kIsIterationInvariantRate);
}

void forecast_with(benchmark::State& state, const needle::ForecastOptions& options) {
  const World& w = world();
  const stitch::Plan& plan = plan_of(state.range(0));
  for (auto _ : state) {
    benchmark::DoNotOptimize(needle::forecast(plan, w.setup, *w.mechanics, options).breaks_per_cap);
  }
  tell(state, plan);
}

void BM_Crowding(benchmark::State& state) {
  const stitch::Plan& plan = plan_of(state.range(0));
  for (auto _ : state) benchmark::DoNotOptimize(needle::crowding(plan, *world().mechanics).back());
  tell(state, plan);
}
void BM_Places(benchmark::State& state) {
  const World& w = world();
  const stitch::Plan& plan = plan_of(state.range(0));
  const std::vector<double> layers = needle::crowding(plan, *w.mechanics);
  for (auto _ : state) {
    benchmark::DoNotOptimize(needle::places_of(plan, w.setup, *w.mechanics, layers).places.size());
  }
  tell(state, plan);
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

// One of the blocks, in the middle of the order of sewing, moved by a tenth of a millimetre.
stitch::Plan with_one_block_moved(stitch::Plan plan) {
  const int n = plan.size(), from = n / 2, to = from + n / 12;
  for (int i = from; i < to; ++i) plan.x[static_cast<std::size_t>(i)] += 0.1;
  return plan;
}
// As a server does that keeps the latest forecast of a job: the next one remembers too.
void forecast_after(benchmark::State& state, const stitch::Plan& changed, const cap::Setup& setup) {
  const World& w = world();
  const stitch::Plan& plan = plan_of(state.range(0));
  needle::ForecastOptions options{.with_drivers = false, .with_interval = false, .remember = true};
  const needle::Forecast former = needle::forecast(plan, w.setup, *w.mechanics, options);
  options.former = &former;
  for (auto _ : state) {
    benchmark::DoNotOptimize(needle::forecast(changed, setup, *w.mechanics, options));
  }
  tell(state, plan);
}
void BM_MeanAndWorstOfAChangedPlan(benchmark::State& state) {
  forecast_after(state, with_one_block_moved(plan_of(state.range(0))), world().setup);
}
void BM_MeanAndWorstOnAChangedBench(benchmark::State& state) {
  cap::Setup changed = world().setup;
  changed.bench.has_clips = true;
  forecast_after(state, plan_of(state.range(0)), changed);
}

void BM_ScreenBuilt(benchmark::State& state) {
  const World& w = world();
  const stitch::Plan& plan = plan_of(state.range(0));
  for (auto _ : state) needle::Screen(plan, w.setup, *w.mechanics);
}
void BM_ScreenOneSetup(benchmark::State& state) {
  const World& w = world();
  const needle::Screen screen(plan_of(state.range(0)), w.setup, *w.mechanics);
  cap::Setup changed = w.setup;
  changed.bench.has_clips = true;
  for (auto _ : state) benchmark::DoNotOptimize(screen.breaks_per_cap(changed));
}

void stages(benchmark::internal::Benchmark* bench) {
  bench->Arg(3000)->Arg(12000)->Arg(30000)->Unit(benchmark::kMillisecond);
  bench->MeasureProcessCPUTime()->UseRealTime();
}
BENCHMARK(BM_Crowding)->Apply(stages);
BENCHMARK(BM_Places)->Apply(stages);
BENCHMARK(BM_MeanAndWorst)->Apply(stages);
BENCHMARK(BM_MeanAndWorstOfAChangedPlan)->Apply(stages);
BENCHMARK(BM_MeanAndWorstOnAChangedBench)->Apply(stages);
BENCHMARK(BM_WithDrivers)->Apply(stages);
BENCHMARK(BM_WithInterval)->Apply(stages);
BENCHMARK(BM_All)->Apply(stages);
BENCHMARK(BM_ScreenBuilt)->Apply(stages);
BENCHMARK(BM_ScreenOneSetup)->Apply(stages);

}  // namespace
