// How long the pictures of one plan take, on one core. The question: do all outputs of a plan of
// 10,000 stitches stay well under a second?
#include "../../tests/report/crest.h"

#include <benchmark/benchmark.h>

namespace {

using namespace buckram;

// Row spacings that give plans of about 1,700, 10,000 and 30,000 entries.
report_tests::Crest crest_for(const benchmark::State& state) {
  report_tests::CrestOptions options;
  options.row_mm = static_cast<double>(state.range(0)) / 1000;
  return report_tests::make_crest(options);
}

template <typename Make>
void run(benchmark::State& state, const Make& make) {
  const report_tests::Crest crest = crest_for(state);
  const report::Subject subject = crest.subject();
  std::size_t bytes = 0;
  for (auto _ : state) {
    const std::string out = make(subject);
    bytes = out.size();
    benchmark::DoNotOptimize(out.data());
  }
  state.counters["stitches"] = static_cast<double>(crest.plan.size());
  state.counters["kB"] = static_cast<double>(bytes) / 1000;
}

void chart(benchmark::State& state) {
  run(state, [](const report::Subject& s) { return report::chart_svg(s); });
}
void sheet(benchmark::State& state) {
  run(state, [](const report::Subject& s) { return report::sheet_pdf(s); });
}
void preview(benchmark::State& state) {
  run(state, [](const report::Subject& s) { return report::preview_png(s); });
}

}  // namespace

BENCHMARK(chart)->Arg(400)->Arg(66)->Arg(22)->Unit(benchmark::kMillisecond);
BENCHMARK(sheet)->Arg(400)->Arg(66)->Arg(22)->Unit(benchmark::kMillisecond);
// Drawn on two cores: the time is what both take together.
BENCHMARK(preview)
    ->Arg(400)
    ->Arg(66)
    ->Arg(22)
    ->Unit(benchmark::kMillisecond)
    ->MeasureProcessCPUTime();
