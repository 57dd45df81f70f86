// How near do the middle lines of strips come to lines that are known?
//   SpineOfHershey   letters and digits of one line a stroke (Hershey's rowmans, 10 mm capitals)
//                    thickened to so many micrometres; error in stroke widths, kept and length as
//                    shares (tests/digitise/hershey.h says how they are taken). Naive pruning of
//                    the axis on the same letters: error_p95 0.15 to 0.19, length 0.91 to 0.94.
//   SpineOfScript    the same for a script (scripts), whose loops run into each other
#include "../../tests/digitise/hershey.h"

#include <benchmark/benchmark.h>

namespace {

using namespace buckram;

void spines(benchmark::State& state, const std::string& face) {
  auto recipe = digitise::recipe_for(digitise::Style::cap);
  recipe.compensation_mm = 0;
  digitise::hershey::Truth truth;
  for (auto _ : state)
    truth = digitise::hershey::truth(face, 10, static_cast<double>(state.range(0)) / 1000, recipe);
  state.counters["letters"] = truth.n_letters;
  state.counters["error_p50"] = truth.p50;
  state.counters["error_p95"] = truth.p95;
  state.counters["kept"] = truth.kept;
  state.counters["length"] = truth.length;
}

void SpineOfHershey(benchmark::State& state) {
  spines(state, "rowmans");
}
void SpineOfScript(benchmark::State& state) {
  spines(state, "scripts");
}
BENCHMARK(SpineOfHershey)
    ->Arg(800)
    ->Arg(1200)
    ->Arg(1600)
    ->Arg(2200)
    ->Iterations(1)
    ->Unit(benchmark::kMillisecond);
BENCHMARK(SpineOfScript)
    ->Arg(800)
    ->Arg(1200)
    ->Arg(1600)
    ->Iterations(1)
    ->Unit(benchmark::kMillisecond);

}  // namespace
