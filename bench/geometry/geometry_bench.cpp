// What do the hot units of geometry cost, and what does the check of the medial axis add to the
// bare sweep it wraps? See README.md for the questions and figures.
#include "geometry/geometry.h"

#include "../../tests/support/random_polygons.h"

#include <boost/polygon/polygon.hpp>
#include <boost/polygon/voronoi.hpp>

#include <benchmark/benchmark.h>

#include <cmath>
#include <numbers>

namespace {

using namespace buckram;
using namespace buckram::geometry;

// A blob with 40 lobes, about 60 mm across.
Polygon lobes(int n) {
  Polygon polygon;
  for (int i = 0; i < n; ++i) {
    const double angle = 2 * std::numbers::pi * i / n;
    const double r = 24 + 6 * std::cos(40 * angle) + std::sin(3 * angle);
    polygon.outer.push_back({r * std::cos(angle), r * std::sin(angle)});
  }
  return polygon;
}

// The reference: Boost's own call with Boost's own diagram, no check, no inside.
void raw_voronoi(benchmark::State& state) {
  namespace bp = boost::polygon;
  const Polygon polygon = transformed(lobes(static_cast<int>(state.range(0))), rotation(0.2345));
  std::vector<bp::segment_data<int>> segments;
  const auto at = [&](std::size_t i) {
    const Point p = polygon.outer[i % polygon.outer.size()];
    return bp::point_data<int>(static_cast<int>(std::lround(p.x / kGridMm)),
                               static_cast<int>(std::lround(p.y / kGridMm)));
  };
  for (std::size_t i = 0; i < polygon.outer.size(); ++i) segments.emplace_back(at(i), at(i + 1));
  for (auto _ : state) {
    bp::voronoi_diagram<double> diagram;
    bp::construct_voronoi(segments.begin(), segments.end(), &diagram);
    benchmark::DoNotOptimize(diagram.num_edges());
  }
  state.SetItemsProcessed(state.iterations() * state.range(0));
}

void medial_axis_of_lobes(benchmark::State& state) {
  const Polygon polygon = lobes(static_cast<int>(state.range(0)));
  for (auto _ : state) benchmark::DoNotOptimize(medial_axis(polygon).verified);
  state.SetItemsProcessed(state.iterations() * state.range(0));
}

void pruned_axis(benchmark::State& state) {
  base::Random random(1);
  const Ring ring = test::noisy_circle(random, static_cast<int>(state.range(0)), 25, 0.05);
  Polygon band{ring, {reversed(transformed(ring, Affine{0.8, 0, 0, 0.8, 0, 0}))}};
  const MedialAxis axis = medial_axis(band).axis;
  for (auto _ : state) benchmark::DoNotOptimize(pruned(axis, 0.5).edges.size());
  state.SetItemsProcessed(state.iterations() * state.range(0));
}

void union_of_two(benchmark::State& state) {
  const Polygons a{lobes(static_cast<int>(state.range(0)))};
  const Polygons b = transformed(a, rotation(0.05));
  for (auto _ : state) benchmark::DoNotOptimize(unite(a, b).size());
  state.SetItemsProcessed(state.iterations() * state.range(0));
}

void offset_of_lobes(benchmark::State& state) {
  const Polygons a{lobes(static_cast<int>(state.range(0)))};
  const double distance_mm = 0.1 * static_cast<double>(state.range(1));
  for (auto _ : state) benchmark::DoNotOptimize(offset(a, distance_mm).size());
  state.SetItemsProcessed(state.iterations() * state.range(0));
}

void hatch_of_lobes(benchmark::State& state) {
  const Polygons a{lobes(static_cast<int>(state.range(0)))};
  for (auto _ : state) benchmark::DoNotOptimize(hatch(a, 0.3, 0.4).size());
  state.SetItemsProcessed(state.iterations() * state.range(0));
}

void inside_of_lobes(benchmark::State& state) {
  const Polygons a{lobes(static_cast<int>(state.range(0)))};
  for (auto _ : state) benchmark::DoNotOptimize(inside({-5, 3}, {8, 4}, a));
}

BENCHMARK(raw_voronoi)->Arg(1000)->Arg(10000)->Arg(100000)->Unit(benchmark::kMillisecond);
BENCHMARK(medial_axis_of_lobes)->Arg(1000)->Arg(10000)->Arg(100000)->Unit(benchmark::kMillisecond);
BENCHMARK(pruned_axis)->Arg(1000)->Arg(10000)->Arg(100000)->Unit(benchmark::kMillisecond);
BENCHMARK(union_of_two)->Arg(1000)->Arg(10000)->Arg(100000)->Unit(benchmark::kMillisecond);
BENCHMARK(offset_of_lobes)
    ->ArgsProduct({{1000, 10000, 100000}, {-3, 3}})
    ->Unit(benchmark::kMillisecond);
BENCHMARK(hatch_of_lobes)->Arg(1000)->Arg(10000)->Arg(100000)->Unit(benchmark::kMillisecond);
BENCHMARK(inside_of_lobes)->Arg(1000)->Unit(benchmark::kMicrosecond);

}  // namespace
