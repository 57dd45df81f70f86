// A shop's own cap and mount, from the command line to a plan sewn on them.
#include "program.h"

#include "cap/measures.h"

#include <gtest/gtest.h>

namespace buckram::app {
namespace {

constexpr const char* kDisc =
    "<svg xmlns='http://www.w3.org/2000/svg' width='20mm' height='20mm' viewBox='0 0 20 20'>"
    "<circle cx='10' cy='10' r='9' fill='#1f3f5b'/></svg>";

TEST(Describe, MakesACapAndAMountThatPlanTakes) {
  const Bench bench;
  bench.put("cap-measures.toml", cap::testing::kMeasures);
  bench.put("mount-measures.toml", "like = \"rotary\"\nhole_mm = 1.9\n");
  bench.put("disc.svg", kDisc);
  const Answer cap = bench.run("describe cap own --from cap-measures.toml -o own.toml");
  EXPECT_EQ(cap.status, 0) << cap.err;
  EXPECT_NE(cap.out.find("--cap own.toml"), std::string::npos);
  const Answer mount = bench.run("describe mount two --from mount-measures.toml -o two.toml");
  EXPECT_EQ(mount.status, 0) << mount.err;
  const Answer plan =
      bench.run("plan disc.svg --height 20 --cap own.toml --mount two.toml --quiet -o out");
  EXPECT_LE(plan.status, 1) << plan.err;
  EXPECT_NE(bench.get("out/stitches.gcode").find("(cap own, mount two,"), std::string::npos);
}

TEST(Describe, ANarrowerHoleCostsMoreBreaks) {
  const Bench bench;
  bench.put("disc.svg", kDisc);
  const auto breaks = [&](const std::string& hole) {
    bench.put("m.toml", "like = \"rotary\"\nhole_mm = " + hole + "\n");
    EXPECT_EQ(bench.run("describe mount m --from m.toml -o mount.toml").status, 0);
    const Answer plan = bench.run("plan disc.svg --height 20 --mount mount.toml --json -o out");
    const std::size_t at = plan.out.find("\"mean\":");
    return at == std::string::npos ? -1 : std::stod(plan.out.substr(at + 7));
  };
  const double narrow = breaks("1.8"), wide = breaks("2.2");
  EXPECT_GT(wide, 0);
  EXPECT_GT(narrow, 2 * wide);
}

TEST(Describe, RefusesANeedleThatDoesNotPassTheHole) {
  const Bench bench;
  bench.put("disc.svg", kDisc);
  bench.put("m.toml", "like = \"rotary\"\nhole_mm = 0.9\n");
  EXPECT_EQ(bench.run("describe mount m --from m.toml -o mount.toml").status, 0);
  const Answer plan = bench.run("plan disc.svg --height 20 --mount mount.toml -o out");
  EXPECT_EQ(plan.status, 2);
  EXPECT_NE(plan.err.find("the hole in this mount's plate is 0.9 mm"), std::string::npos);
}

TEST(Describe, BadMeasuresAndNamesWriteNothing) {
  const Bench bench;
  bench.put("m.toml", cap::testing::kMeasures);
  bench.put("few.toml", "like = \"five-panel-structured-mid\"\ncircumference_mm = 580\n");
  for (const char* words :
       {"describe cap 'a b' --from m.toml -o out.toml",
        "describe cap x --from few.toml -o out.toml", "describe cap x --from none.toml -o out.toml",
        "describe hat x --from m.toml -o out.toml", "describe mount x --from m.toml -o out.toml"}) {
    const Answer answer = bench.run(words);
    EXPECT_EQ(answer.status, 2) << words;
    EXPECT_FALSE(answer.err.empty()) << words;
    EXPECT_FALSE(fs::exists(bench.folder() / "out.toml")) << words;
    EXPECT_EQ(bench.get("m.toml"), cap::testing::kMeasures) << words;
  }
}

}  // namespace
}  // namespace buckram::app
