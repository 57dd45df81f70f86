// How long reading a customer's file and finding what shows takes (bench/README.md, artwork).
#include "artwork/artwork.h"
#include "base/base.h"

#include <benchmark/benchmark.h>

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <string>
#include <vector>

namespace buckram {
namespace {

std::vector<std::string> files_of(const std::string& folder, std::size_t every) {
  std::vector<std::string> names, texts;
  const std::string root = BUCKRAM_ROOT "/build/corpus/node_modules/" + folder;
  if (!std::filesystem::exists(root)) return texts;
  for (const auto& entry : std::filesystem::directory_iterator(root))
    if (entry.path().extension() == ".svg") names.push_back(entry.path().string());
  std::sort(names.begin(), names.end());
  for (std::size_t i = 0; i < names.size(); i += every)
    texts.push_back(base::read_file(names[i], 20'000'000));
  return texts;
}

// A rosette of n petals, each a closed Bezier with stroke, overlapping its neighbours.
std::string rosette(int n) {
  std::string svg = "<svg xmlns='http://www.w3.org/2000/svg' viewBox='-60 -60 120 120'>";
  for (int i = 0; i < n; ++i)
    svg += fmt::format(
        "<path transform='rotate({})' fill='hsl({},70%,50%)' stroke='#222' d='M0 0C10 10 10 40 0 "
        "50C-10 40 -10 10 0 0z'/>",
        360.0 * i / n, 360.0 * i / n);
  return svg + "</svg>";
}

std::vector<artwork::Thread> threads() {
  return artwork::read_threads(base::read_file(BUCKRAM_ROOT "/data/threads/harbour.csv", 1'000'000),
                               "harbour.csv");
}

artwork::Regions regions_of(const artwork::Drawing& drawing,
                            const std::vector<artwork::Thread>& list) {
  const double scale = 45 / std::max(drawing.painted.height(), 1e-9);
  return artwork::visible_regions(drawing, artwork::placement_matrix(drawing, {{0, 40}, scale}),
                                  list);
}

void read_pictures(benchmark::State& state, const std::string& folder) {
  const auto texts = files_of(folder, 40);
  if (texts.empty()) return state.SkipWithError("picture sets are not installed (tests/corpus)");
  for (auto _ : state)
    for (const std::string& text : texts)
      benchmark::DoNotOptimize(artwork::read_svg(text, "bench"));
  state.counters["ms_per_file"] =
      benchmark::Counter(1e-3 * static_cast<double>(texts.size() * state.iterations()),
                         benchmark::Counter::kIsRate | benchmark::Counter::kInvert);
}

void find_regions(benchmark::State& state, const std::string& folder) {
  const auto texts = files_of(folder, 40);
  if (texts.empty()) return state.SkipWithError("picture sets are not installed (tests/corpus)");
  const auto list = threads();
  std::vector<artwork::Drawing> drawings;
  for (const std::string& text : texts) drawings.push_back(artwork::read_svg(text, "bench"));
  for (auto _ : state)
    for (const artwork::Drawing& drawing : drawings)
      benchmark::DoNotOptimize(regions_of(drawing, list));
  state.counters["ms_per_file"] =
      benchmark::Counter(1e-3 * static_cast<double>(texts.size() * state.iterations()),
                         benchmark::Counter::kIsRate | benchmark::Counter::kInvert);
}

void rosette_regions(benchmark::State& state) {
  const auto list = threads();
  const artwork::Drawing drawing =
      artwork::read_svg(rosette(static_cast<int>(state.range(0))), "rosette");
  for (auto _ : state) benchmark::DoNotOptimize(regions_of(drawing, list));
}

BENCHMARK_CAPTURE(read_pictures, twemoji, "@twemoji/svg")->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(read_pictures, fluentui_flat, "fluentui-emoji/icons/flat")
    ->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(read_pictures, openmoji, "openmoji/color/svg")->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(find_regions, twemoji, "@twemoji/svg")->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(find_regions, fluentui_flat, "fluentui-emoji/icons/flat")
    ->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(find_regions, openmoji, "openmoji/color/svg")->Unit(benchmark::kMillisecond);
BENCHMARK(rosette_regions)->Arg(16)->Arg(64)->Arg(256)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace buckram
