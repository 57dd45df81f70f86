// A run beside the files that it ends with: what can be seen before them is the same.
#include "server/planning.h"
#include "server/program.h"

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <algorithm>

namespace buckram::server {
namespace {

using Json = nlohmann::json;

class Runs : public testing::Test {
 protected:
  PlanRun run(const std::vector<std::string>& set,
              std::shared_ptr<const stitch::Plan> seen = nullptr) {
    Step step;
    step.artwork = store.keep_artwork("mark.svg", kMark).id;
    step.set = set;
    aheads.clear();
    const Waiting waiting{{}, [&](Ahead ahead) { aheads.push_back(std::move(ahead)); }, seen};
    return run_plan(step, 7, store, {BUCKRAM_ROOT "/data"}, "out", waiting);
  }
  static std::string file(const PlanRun& run, const std::string& name) {
    const auto found = std::find_if(run.files.begin(), run.files.end(),
                                    [&](const auto& each) { return each.path == name; });
    return found == run.files.end() ? "" : found->bytes;
  }
  Folder folder;
  Store store{folder.path().string()};
  std::vector<Ahead> aheads;
};

TEST_F(Runs, StitchesAndThenTheVerdictAreSeenBeforeTheFiles) {
  const PlanRun done = run({"artwork.height_mm=15"});
  ASSERT_EQ(aheads.size(), 2U);
  EXPECT_EQ(aheads[0].revision, 7);
  EXPECT_EQ(aheads[0].verdict, "");
  const Json early = Json::parse(aheads[0].view), late = Json::parse(file(done, "view.json"));
  EXPECT_GT(late["entries"]["x"].size(), 100U);
  EXPECT_EQ(early["entries"], late["entries"]) << "hazard among it";
  EXPECT_EQ(early["ground"], late["ground"]);
  EXPECT_TRUE(early["worst"].empty()) << "reasons are not known yet";
  EXPECT_EQ(aheads[1].view, file(done, "view.json"));
  EXPECT_EQ(aheads[1].words, file(done, "words.json"));
  EXPECT_EQ(aheads[1].verdict, file(done, "verdict.json"));
  const double mean = Json::parse(aheads[1].verdict)["breaks_per_100_caps"]["mean"];
  EXPECT_NEAR(aheads[0].breaks_per_100 / mean, 1, 1e-3) << "the verdict's own number";
}

TEST_F(Runs, StitchesThatAreShownAreNotToldAgain) {
  const PlanRun first = run({"artwork.height_mm=15"});
  run({"artwork.height_mm=15", "bench.speed_spm=900"}, first.plan);
  ASSERT_EQ(aheads.size(), 1U);
  EXPECT_NE(aheads[0].verdict, "");
  run({"artwork.height_mm=16"}, first.plan);
  EXPECT_EQ(aheads.size(), 2U) << "other stitches";
}

TEST_F(Runs, EveryChangeHasItsWords) {
  const PlanRun done = run({"artwork.height_mm=45", "bench.speed_spm=1200", "bench.foot_mm=6"});
  const Json words = Json::parse(file(done, "words.json"));
  const Json verdict = Json::parse(file(done, "verdict.json"));
  EXPECT_NE(words["sentence"], "");
  ASSERT_FALSE(verdict["changes"].empty());
  for (const Json& change : verdict["changes"]) {
    const Json& told = words["changes"][change["id"].get<std::string>()];
    EXPECT_NE(told["words"], "") << change;
    EXPECT_NE(told["why"], "") << change;
  }
}

TEST_F(Runs, ARefusalIsToldOnceAndInWords) {
  const PlanRun done = run({"artwork.height_mm=200"});
  EXPECT_EQ(done.state, State::refused);
  EXPECT_TRUE(aheads.empty());
  const std::string said = Json::parse(file(done, "words.json"))["sentence"];
  EXPECT_NE(said.find("200 mm"), std::string::npos) << said;
}

}  // namespace
}  // namespace buckram::server
