// How fast strips become columns and columns become penetrations.
//   MakeObjects   a row of H-shaped letters to objects, medial axes included
//   MedialAxis    the axes alone, of the same letters: what of it is the Voronoi diagram
//   SewColumn     objects to penetrations: stitches a second on one core (asked: 200,000)
#include "digitise/digitise.h"

#include <benchmark/benchmark.h>

namespace {

using namespace buckram;

geometry::Polygon letter(double x) {
  geometry::Polygon h{{{0, 0},
                       {3, 0},
                       {3, 5},
                       {7, 5},
                       {7, 0},
                       {10, 0},
                       {10, 12},
                       {7, 12},
                       {7, 7},
                       {3, 7},
                       {3, 12},
                       {0, 12}},
                      {}};
  for (auto& p : h.outer) p.x += x;
  return h;
}

artwork::Regions letters(int n) {
  artwork::Regions regions;
  regions.threads.resize(1);
  for (int i = 0; i < n; ++i) {
    artwork::Region region;
    region.visible = region.sewn = {letter(12.0 * i)};
    region.order = i;
    regions.regions.push_back(region);
  }
  return regions;
}

void MakeObjects(benchmark::State& state) {
  const auto regions = letters(static_cast<int>(state.range(0)));
  const auto recipe = digitise::recipe_for(digitise::Style::cap);
  for (auto _ : state) benchmark::DoNotOptimize(digitise::make_objects(regions, recipe));
  state.counters["letters/s"] = benchmark::Counter(static_cast<double>(state.range(0)),
                                                   benchmark::Counter::kIsIterationInvariantRate);
}
BENCHMARK(MakeObjects)->Arg(1)->Arg(10)->Arg(100)->Unit(benchmark::kMillisecond)->UseRealTime();

void MedialAxis(benchmark::State& state) {
  const geometry::Polygon h = letter(0);
  for (auto _ : state) benchmark::DoNotOptimize(geometry::medial_axis(h));
}
BENCHMARK(MedialAxis)->Unit(benchmark::kMillisecond);

void SewColumn(benchmark::State& state) {
  const auto recipe = digitise::recipe_for(digitise::Style::cap);
  const auto made = digitise::make_objects(letters(1), recipe);
  std::size_t n_stitches = 0;
  for (auto _ : state) {
    for (const auto& object : made.objects) {
      for (const auto& piece : digitise::sew(object, object.ways.front(), recipe, {true, true})) {
        n_stitches += piece.points.size();
      }
    }
  }
  state.counters["stitches/s"] =
      benchmark::Counter(static_cast<double>(n_stitches), benchmark::Counter::kIsRate);
}
BENCHMARK(SewColumn);

}  // namespace
