// How often is the medial axis of a real outline wrong, and what does it cost? Builds the axis of
// every outline of three open picture sets at 60 mm height.
#include "geometry/geometry.h"
#include "../../tests/support/path_data.h"

#include "base/base.h"

#include <benchmark/benchmark.h>

#include <algorithm>
#include <ctime>
#include <filesystem>
#include <fstream>
#include <iterator>

namespace {

namespace fs = std::filesystem;
using namespace buckram;

std::string text_of(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

struct Set {
  const char* folder;
  double view;  // height of the view box, user units
};
constexpr Set kSets[] = {{"@twemoji/svg", 36},
                         {"fluentui-emoji/icons/flat", 32},
                         {"openmoji/color/svg", 72},
                         {"openmoji/black/svg", 72}};

std::vector<fs::path> files_of(const Set& set) {
  std::vector<fs::path> files;
  const fs::path folder = fs::path(BUCKRAM_ROOT) / "build/corpus/node_modules" / set.folder;
  if (!fs::is_directory(folder)) return files;
  for (const auto& entry : fs::directory_iterator(folder)) {
    if (entry.path().extension() == ".svg") files.push_back(entry.path());
  }
  std::sort(files.begin(), files.end());
  return files;
}

void medial_axis_of_pictures(benchmark::State& state) {
  const Set& set = kSets[state.range(0)];
  const std::vector<fs::path> files = files_of(set);
  if (files.empty()) return state.SkipWithError("picture set not installed");
  double outlines = 0, segments = 0, retried = 0, unverified = 0, worst_ms = 0, seconds = 0;
  for (auto _ : state) {
    for (const fs::path& file : files) {
      for (const auto& shape : test::filled_paths(text_of(file), set.view, 60, 0.02)) {
        for (const geometry::Polygon& polygon : shape) {
          const std::clock_t start = std::clock();  // of this one-threaded process, not the wall
          const auto result = geometry::medial_axis(polygon);
          const double s = static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
          seconds += s;
          worst_ms = std::max(worst_ms, s * 1e3);
          outlines += 1;
          segments += static_cast<double>(polygon.outer.size());
          for (const auto& hole : polygon.holes) segments += static_cast<double>(hole.size());
          retried += result.tries > 1;
          unverified += !result.verified;
        }
      }
    }
  }
  state.SetLabel(set.folder);
  state.counters["outlines"] = outlines;
  state.counters["segments"] = segments;
  state.counters["retried"] = retried;
  state.counters["unverified"] = unverified;
  state.counters["worst_ms"] = worst_ms;
  state.counters["us_per_segment"] = seconds * 1e6 / std::max(1.0, segments);
}

}  // namespace

BENCHMARK(medial_axis_of_pictures)->DenseRange(0, 3)->Iterations(1)->Unit(benchmark::kSecond);
