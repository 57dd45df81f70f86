// Where the time goes from artwork to files: every stage on a plan of about 10,000 stitches, and
// the whole of `plan` beside them. Target: 2 s for all outputs on 2 cores, 3 s with changes ranked.
#include "job/job.h"

#include "artwork/artwork.h"
#include "machine/machine.h"
#include "report/report.h"

#include <benchmark/benchmark.h>

namespace {

using namespace buckram;

// The badge on loose panels, tall enough for about 10,000 stitches.
struct Bench {
  job::Resolved job;
  artwork::Drawing drawing;
  std::string svg;
  job::Planned planned;
  advise::Verdict verdict;

  Bench() {
    const std::string folder = BUCKRAM_ROOT "/examples";
    job::Job asked = job::read_job("", "bench", "",
                                   {"artwork.file='" + folder + "/skerry-light-badge.svg'",
                                    "artwork.height_mm=64", "bench.mount=loose-panels"});
    job = job::resolve(asked, {BUCKRAM_ROOT "/data"});
    svg = base::read_file(asked.artwork_file, 1'000'000);
    drawing = job::read_artwork(asked);
    planned = job::plan_stitches(job, drawing);
    verdict = job::plan_job(job, drawing, planned);
  }
};

const Bench& bench() {
  static const Bench made;
  return made;
}

void count(benchmark::State& state) {
  state.counters["stitches"] = stitch::count(*bench().planned.plan).stitches;
}

void ReadSvg(benchmark::State& state) {
  const std::string& svg = bench().svg;  // planned before the clock starts
  for (auto _ : state) benchmark::DoNotOptimize(artwork::read_svg(svg, "bench"));
}
BENCHMARK(ReadSvg)->Unit(benchmark::kMillisecond);

void VisibleRegions(benchmark::State& state) {
  for (auto _ : state) {
    benchmark::DoNotOptimize(
        artwork::visible_regions(bench().drawing, bench().planned.placement, bench().job.threads));
  }
}
BENCHMARK(VisibleRegions)->Unit(benchmark::kMillisecond);

void MakeObjects(benchmark::State& state) {
  for (auto _ : state) {
    benchmark::DoNotOptimize(digitise::make_objects(bench().planned.regions, bench().job.recipe));
  }
}
BENCHMARK(MakeObjects)->Unit(benchmark::kMillisecond)->UseRealTime();

void OrderObjects(benchmark::State& state) {
  for (auto _ : state) {
    benchmark::DoNotOptimize(sequence::order_objects(bench().planned.objects, {}));
  }
}
BENCHMARK(OrderObjects)->Unit(benchmark::kMillisecond);

void LayStitches(benchmark::State& state) {
  for (auto _ : state) {
    benchmark::DoNotOptimize(sequence::lay(bench().planned.objects, bench().planned.order,
                                           bench().planned.regions.threads, bench().job.recipe));
  }
  count(state);
}
BENCHMARK(LayStitches)->Unit(benchmark::kMillisecond);

void CheckLimits(benchmark::State& state) {
  std::vector<stitch::ObjectOutline> outlines;
  for (const digitise::Object& o : bench().planned.objects) outlines.push_back({o.id, o.outline});
  for (auto _ : state) {
    benchmark::DoNotOptimize(stitch::breaches(*bench().planned.plan, bench().job.limits, outlines));
  }
}
BENCHMARK(CheckLimits)->Unit(benchmark::kMillisecond);

void Forecast(benchmark::State& state) {
  for (auto _ : state) {
    benchmark::DoNotOptimize(
        needle::forecast(*bench().planned.plan, bench().job.setup, *bench().job.mechanics));
  }
  count(state);
}
BENCHMARK(Forecast)->Unit(benchmark::kMillisecond)->UseRealTime();

void JudgeWithChanges(benchmark::State& state) {
  for (auto _ : state) {
    benchmark::DoNotOptimize(job::check_plan(bench().job, *bench().planned.plan));
  }
}
BENCHMARK(JudgeWithChanges)->Unit(benchmark::kMillisecond)->UseRealTime();

void AllFiles(benchmark::State& state) {
  for (auto _ : state) {
    benchmark::DoNotOptimize(
        job::plan_outputs(bench().job, &*bench().planned.plan, bench().verdict, "out"));
  }
}
BENCHMARK(AllFiles)->Unit(benchmark::kMillisecond)->UseRealTime();

void ArtworkToFiles(benchmark::State& state) {
  for (auto _ : state) {
    const artwork::Drawing drawing = job::read_artwork(bench().job.job);
    const job::Planned planned = job::plan_stitches(bench().job, drawing);
    const advise::Verdict verdict = job::plan_job(bench().job, drawing, planned);
    benchmark::DoNotOptimize(job::plan_outputs(bench().job, &*planned.plan, verdict, "out"));
  }
  count(state);
}
BENCHMARK(ArtworkToFiles)->Unit(benchmark::kMillisecond)->UseRealTime();

}  // namespace
