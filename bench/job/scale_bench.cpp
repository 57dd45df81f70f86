// How the work grows with the design: the three examples sewn side by side, 1 to 54 of them, about
// 5,000 to 200,000 stitches. Targets: objects to stitches at least 200,000 a second on one core
// (medial axes and the search for the order apart), growing no faster than n log n; peak memory
// under 300 MB at 200,000 stitches.
#include "job/job.h"

#include <benchmark/benchmark.h>
#include <sys/resource.h>

#include <algorithm>
#include <map>

namespace {

using namespace buckram;

constexpr double kPitchMm = 70;

struct Wide {
  job::Resolved job;
  artwork::Regions regions;
  digitise::Digitised digitised;
  sequence::Order order;
};

job::Resolved example(const std::string& name) {
  return job::resolve(job::read_job("", "bench", "",
                                    {"artwork.file='" BUCKRAM_ROOT "/examples/" + name + ".svg'",
                                     "artwork.height_mm=44", "bench.mount=loose-panels"}),
                      {BUCKRAM_ROOT "/data"});
}

// The tile's regions behind those already there; threads of one name are one.
void add_tile(artwork::Regions tile, artwork::Regions& all) {
  std::vector<int> thread_of;
  for (const artwork::Thread& thread : tile.threads) {
    const auto same = std::find_if(all.threads.begin(), all.threads.end(),
                                   [&](const auto& t) { return t.name == thread.name; });
    thread_of.push_back(static_cast<int>(same - all.threads.begin()));
    if (same == all.threads.end()) all.threads.push_back(thread);
  }
  for (artwork::Region& region : tile.regions) {
    region.thread = thread_of[static_cast<std::size_t>(region.thread)];
    region.order = static_cast<int>(all.regions.size());
    all.box.add(geometry::bounds(region.visible));
    all.regions.push_back(std::move(region));
  }
}

Wide make_wide(int n_tiles) {
  const char* names[] = {"keld-harbour-crest", "tern-and-tide-wordmark", "skerry-light-badge"};
  Wide wide;
  wide.job = example(names[0]);
  const int across = std::max(1, static_cast<int>(std::ceil(std::sqrt(n_tiles))));
  for (int i = 0; i < n_tiles; ++i) {
    const artwork::Drawing drawing = job::read_artwork(example(names[i % 3]).job);
    const geometry::Box box = drawing.painted;
    const double scale = std::min(44 / box.height(), 66 / box.width());
    const geometry::Point middle{kPitchMm * (i % across), kPitchMm * (i / across)};
    add_tile(artwork::visible_regions(drawing, artwork::placement_matrix(drawing, {middle, scale}),
                                      wide.job.threads),
             wide.regions);
  }
  wide.digitised = digitise::make_objects(wide.regions, wide.job.recipe);
  sequence::OrderOptions options;
  options.mode = sequence::Mode::given;  // the search for the order is another bench's
  wide.order = sequence::order_objects(wide.digitised.objects, options);
  return wide;
}

const Wide& wide(int n_tiles) {
  static std::map<int, Wide> made;
  const auto found = made.find(n_tiles);
  return found != made.end() ? found->second
                             : made.emplace(n_tiles, make_wide(n_tiles)).first->second;
}

double peak_mb() {
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  return static_cast<double>(usage.ru_maxrss) / 1024;
}

void ObjectsToStitches(benchmark::State& state) {
  const Wide& w = wide(static_cast<int>(state.range(0)));
  int n = 0;
  for (auto _ : state) {
    const stitch::Plan plan =
        sequence::lay(w.digitised.objects, w.order, w.regions.threads, w.job.recipe);
    n = stitch::count(plan).stitches;
  }
  state.SetComplexityN(n);
  state.counters["stitches"] = n;
  state.counters["stitches/s"] =
      benchmark::Counter(double(n) * double(state.iterations()), benchmark::Counter::kIsRate);
  state.counters["peak MB"] = peak_mb();
}
BENCHMARK(ObjectsToStitches)
    ->Arg(1)
    ->Arg(3)
    ->Arg(9)
    ->Arg(18)
    ->Arg(54)
    ->Unit(benchmark::kMillisecond)
    ->Complexity();

// The search for the order, by 400,000 moves tried in all. Target: 200 ms.
void OrderObjects(benchmark::State& state) {
  const Wide& w = wide(static_cast<int>(state.range(0)));
  for (auto _ : state) benchmark::DoNotOptimize(sequence::order_objects(w.digitised.objects, {}));
  state.SetComplexityN(static_cast<benchmark::IterationCount>(w.digitised.objects.size()));
  state.counters["objects"] = static_cast<double>(w.digitised.objects.size());
}
BENCHMARK(OrderObjects)
    ->Arg(1)
    ->Arg(3)
    ->Arg(9)
    ->Arg(18)
    ->Arg(54)
    ->Unit(benchmark::kMillisecond)
    ->Complexity();

void CheckLimits(benchmark::State& state) {
  const Wide& w = wide(static_cast<int>(state.range(0)));
  const stitch::Plan plan =
      sequence::lay(w.digitised.objects, w.order, w.regions.threads, w.job.recipe);
  std::vector<stitch::ObjectOutline> outlines;
  for (const digitise::Object& o : w.digitised.objects) outlines.push_back({o.id, o.outline});
  for (auto _ : state) benchmark::DoNotOptimize(stitch::breaches(plan, w.job.limits, outlines));
  state.SetComplexityN(stitch::count(plan).stitches);
  state.counters["stitches"] = stitch::count(plan).stitches;
}
BENCHMARK(CheckLimits)->Arg(1)->Arg(9)->Arg(54)->Unit(benchmark::kMillisecond)->Complexity();

}  // namespace
