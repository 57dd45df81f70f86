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

// Asked for before a stage's clock starts: the stage that ran first was charged with planning.
const Bench& bench() {
  static const Bench made;
  return made;
}

void count(benchmark::State& state) {
  state.counters["stitches"] = stitch::count(*bench().planned.plan).stitches;
}

void ReadSvg(benchmark::State& state) {
  const Bench& b = bench();
  for (auto _ : state) benchmark::DoNotOptimize(artwork::read_svg(b.svg, "bench"));
}
BENCHMARK(ReadSvg)->Unit(benchmark::kMillisecond);

void VisibleRegions(benchmark::State& state) {
  const Bench& b = bench();
  for (auto _ : state) {
    benchmark::DoNotOptimize(
        artwork::visible_regions(b.drawing, b.planned.placement, b.job.threads));
  }
}
BENCHMARK(VisibleRegions)->Unit(benchmark::kMillisecond);

void MakeObjects(benchmark::State& state) {
  const Bench& b = bench();
  for (auto _ : state) {
    benchmark::DoNotOptimize(digitise::make_objects(b.planned.regions, b.job.recipe));
  }
}
BENCHMARK(MakeObjects)->Unit(benchmark::kMillisecond)->UseRealTime();

void OrderObjects(benchmark::State& state) {
  const Bench& b = bench();
  for (auto _ : state) {
    benchmark::DoNotOptimize(sequence::order_objects(b.planned.objects, {}));
  }
}
BENCHMARK(OrderObjects)->Unit(benchmark::kMillisecond);

void LayStitches(benchmark::State& state) {
  const Bench& b = bench();
  for (auto _ : state) {
    benchmark::DoNotOptimize(
        sequence::lay(b.planned.objects, b.planned.order, b.planned.regions.threads, b.job.recipe));
  }
  count(state);
}
BENCHMARK(LayStitches)->Unit(benchmark::kMillisecond);

void CheckLimits(benchmark::State& state) {
  const Bench& b = bench();
  std::vector<stitch::ObjectOutline> outlines;
  for (const digitise::Object& o : b.planned.objects) outlines.push_back({o.id, o.outline});
  for (auto _ : state) {
    benchmark::DoNotOptimize(stitch::breaches(*b.planned.plan, b.job.limits, outlines));
  }
}
BENCHMARK(CheckLimits)->Unit(benchmark::kMillisecond);

void Forecast(benchmark::State& state) {
  const Bench& b = bench();
  for (auto _ : state) {
    benchmark::DoNotOptimize(needle::forecast(*b.planned.plan, b.job.setup, *b.job.mechanics));
  }
  count(state);
}
BENCHMARK(Forecast)->Unit(benchmark::kMillisecond)->UseRealTime();

void JudgeWithChanges(benchmark::State& state) {
  const Bench& b = bench();
  for (auto _ : state) {
    benchmark::DoNotOptimize(job::check_plan(b.job, *b.planned.plan));
  }
}
BENCHMARK(JudgeWithChanges)->Unit(benchmark::kMillisecond)->UseRealTime();

void AllFiles(benchmark::State& state) {
  const Bench& b = bench();
  for (auto _ : state) {
    benchmark::DoNotOptimize(job::plan_outputs(b.job, &*b.planned.plan, b.verdict, "out"));
  }
}
BENCHMARK(AllFiles)->Unit(benchmark::kMillisecond)->UseRealTime();

void ArtworkToFiles(benchmark::State& state) {
  const Bench& b = bench();
  for (auto _ : state) {
    const artwork::Drawing drawing = job::read_artwork(b.job.job);
    const job::Planned planned = job::plan_stitches(b.job, drawing);
    const advise::Verdict verdict = job::plan_job(b.job, drawing, planned);
    benchmark::DoNotOptimize(job::plan_outputs(b.job, &*planned.plan, verdict, "out"));
  }
  count(state);
}
BENCHMARK(ArtworkToFiles)->Unit(benchmark::kMillisecond)->UseRealTime();

}  // namespace
