// Our reading of real files against librsvg's.
#include "artwork/oracle.h"

#include "artwork/pictures.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cstdio>

namespace buckram::tests {
namespace {

struct Outcome {
  std::string file;
  double share = 0;
  std::string notes;
};

Outcome compare(const std::filesystem::path& path) {
  const std::string svg = read_all(path);
  const artwork::Drawing drawing = artwork::read_svg(svg, path.filename().string());
  artwork::RegionOptions options;
  options.merge_difference = 0;
  options.max_threads = 1000;
  const artwork::Regions regions = regions_of(drawing, own_threads(drawing), options);
  Outcome outcome{path.filename().string(), 0, ""};
  outcome.share = disagreement(librsvg_pixels(svg), region_pixels(regions, page_to_fine(svg)));
  for (const artwork::Note& note : drawing.notes)
    outcome.notes += " " + note.source + ": " + note.why + ";";
  return outcome;
}

// Median of the set; prints the distribution and every file above 2 %.
double run(const PictureSet& set, int n) {
  std::vector<Outcome> outcomes;
  for (const auto& path : sample(set, n, 20240615)) {
    try {
      outcomes.push_back(compare(path));
    } catch (const base::Error& error) {
      ADD_FAILURE() << path << ": " << base::message(error);
    }
  }
  if (outcomes.empty()) return 0;
  std::sort(outcomes.begin(), outcomes.end(),
            [](const Outcome& a, const Outcome& b) { return a.share < b.share; });
  const auto at = [&](double q) {
    return 100 *
           outcomes[static_cast<std::size_t>(q * static_cast<double>(outcomes.size() - 1))].share;
  };
  fmt::print("{:14} {:4} files: median {:.3f} %, p90 {:.3f} %, p99 {:.3f} %, worst {:.3f} % ({})\n",
             set.name, outcomes.size(), at(0.5), at(0.9), at(0.99), at(1), outcomes.back().file);
  for (const Outcome& o : outcomes)
    if (o.share > 0.02) fmt::print("  above 2 %: {} {:.2f} %{}\n", o.file, 100 * o.share, o.notes);
  return outcomes[outcomes.size() / 2].share;
}

class Oracle : public testing::TestWithParam<PictureSet> {};

TEST_P(Oracle, AgreesWithLibrsvgOnAFewFiles) {
  if (sample(GetParam(), 1, 1).empty())
    GTEST_SKIP() << "picture sets are not installed (tests/corpus)";
  EXPECT_LT(run(GetParam(), 10), 0.005);
}

class SlowOracle : public testing::TestWithParam<PictureSet> {};

TEST_P(SlowOracle, AgreesWithLibrsvgOnThreeHundredFiles) {
  if (sample(GetParam(), 1, 1).empty())
    GTEST_SKIP() << "picture sets are not installed (tests/corpus)";
  EXPECT_LT(run(GetParam(), 300), 0.005);
}

const auto kName = [](const auto& info) {
  std::string name = info.param.name;
  std::replace(name.begin(), name.end(), '-', '_');
  return name;
};
INSTANTIATE_TEST_SUITE_P(Sets, Oracle, testing::ValuesIn(picture_sets()), kName);
INSTANTIATE_TEST_SUITE_P(Sets, SlowOracle, testing::ValuesIn(picture_sets()), kName);

}  // namespace
}  // namespace buckram::tests
