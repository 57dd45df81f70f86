// A shop's own machine files on the command line, from plan to file and back, and learnt.
#include "app/program.h"

#include "machine/machine.h"

#include <gtest/gtest.h>

namespace buckram::app {
namespace {

class Layouts : public testing::Test {
 protected:
  void SetUp() override { bench.put("mark.svg", kMark); }
  Bench bench;
};

TEST_F(Layouts, PlanWritesTheMachinesFileAndConvertReadsIt) {
  ASSERT_LE(bench.run("plan mark.svg --height 20 --layout buoy-lengths -o out").status, 1);
  ASSERT_GT(bench.get("out/stitches.buoy").size(), 1000U);
  const std::string verdict = bench.get("out/verdict.json");
  EXPECT_NE(verdict.find("no cap mounted"), std::string::npos);
  const Answer check = bench.run("layout check buoy-lengths out/stitches.buoy");
  EXPECT_EQ(check.status, 0) << check.err;
  EXPECT_NE(check.out.find("ends 0.00, 0.00 mm from the start"), std::string::npos) << check.out;
  EXPECT_EQ(check.out.find("the records say"), std::string::npos) << check.out;
  const Answer back =
      bench.run("convert out/stitches.buoy --from buoy-lengths --to csv -o back.csv");
  EXPECT_EQ(back.status, 0) << back.err;
  // Every stitch within half a unit of 0.02 mm, the crown's widening and the CSV's rounding.
  const stitch::Plan a = machine::read_csv(bench.get("out/stitches.csv"), "a");
  const stitch::Plan b = machine::read_csv(bench.get("back.csv"), "b");
  std::vector<geometry::Point> as, bs;
  for (int i = 0; i < a.size(); ++i) {
    if (a.op[static_cast<std::size_t>(i)] == stitch::Op::sew) as.push_back(a.at(i));
  }
  for (int i = 0; i < b.size(); ++i) {
    if (b.op[static_cast<std::size_t>(i)] == stitch::Op::sew) bs.push_back(b.at(i));
  }
  ASSERT_EQ(as.size(), bs.size());
  for (std::size_t i = 0; i < as.size(); ++i) {
    ASSERT_NEAR(as[i].x, bs[i].x, 0.015) << i;
    ASSERT_NEAR(as[i].y, bs[i].y, 0.015) << i;
  }
  EXPECT_EQ(bench.run("convert out/stitches.buoy --from buoy-lengths --to pilot-signal -o p.pilot")
                .status,
            0);
  EXPECT_LE(bench.run("check p.pilot --layout pilot-signal -o checked").status, 1);
}

TEST_F(Layouts, ARefusalLeavesNoEarlierMachineFile) {
  ASSERT_LE(bench.run("plan mark.svg --height 20 --layout harbour-tally -o out").status, 1);
  ASSERT_TRUE(fs::exists(bench.folder() / "out/stitches.tally"));
  EXPECT_EQ(bench.run("plan mark.svg --height 300 --layout harbour-tally -o out").status, 1);
  EXPECT_FALSE(fs::exists(bench.folder() / "out/stitches.tally"));
}

TEST_F(Layouts, AShopLearnsItsLayout) {
  ASSERT_EQ(bench.run("layout learn --patterns --unit 0.1 --longest 16.5 -o patterns").status, 0);
  // The machine: a shipped layout plays it.
  const machine::Layout lantern = machine::read_layout(
      base::read_file(BUCKRAM_ROOT "/data/layouts/lantern-row.toml", 100'000), "lantern");
  std::string pairs;
  for (const char* name : {"square", "ladder", "moves", "operations"}) {
    const std::string csv = std::string("patterns/") + name + ".csv";
    std::vector<machine::Step> steps = machine::read_pattern(bench.get(csv), name, 0.1).steps;
    std::erase_if(steps, [](const auto& step) { return step.op == stitch::Op::trim; });
    bench.put(std::string(name) + ".lantern", machine::write_steps(lantern, steps));
    pairs += ' ' + csv + '=' + name + ".lantern";
  }
  const Answer learnt = bench.run("layout learn" + pairs + " --unit 0.1 -o quay.toml");
  ASSERT_EQ(learnt.status, 0) << learnt.err;
  EXPECT_NE(learnt.out.find("a trim writes nothing"), std::string::npos) << learnt.out;
  EXPECT_NE(learnt.out.find("no cap mounted"), std::string::npos) << learnt.out;
  EXPECT_EQ(learnt.out.find("still to settle"), std::string::npos) << learnt.out;
  ASSERT_LE(bench.run("plan mark.svg --height 20 --layout lantern-row -o a").status, 1);
  ASSERT_LE(bench.run("plan mark.svg --height 20 --layout quay.toml -o b").status, 1);
  EXPECT_EQ(bench.get("a/stitches.lantern"), bench.get("b/stitches.lantern"));
}

TEST_F(Layouts, BadOnesAreRefusedAndNothingIsWritten) {
  bench.put("bad.toml", "buckram_layout = 1\nname = \"x\"\nextension = \"x\"\nunit_mm = 0.1\n");
  bench.put("file.bin", "not of it");
  const struct {
    const char *words, *says;
  } cases[] = {
      {"layout check", "check wants a layout"},
      {"layout check bad.toml", "there is no [[kind]] of record"},
      {"layout check harbour-taly", "harbour-tally"},
      {"layout check harbour-tally file.bin", "file.bin"},
      {"layout learn -o new.toml", "0 patterns are given"},
      {"layout learn file.bin -o new.toml", "Write PATTERN.csv=FILE"},
      {"layout learn file.bin=file.bin -o new.toml", "is not a pattern"},
      {"layout learn --patterns --unit 0 -o new.toml", "--unit"},
      {"layout learn --patterns --longest 0.1 -o new.toml", "--longest"},
      {"layout learn --patterns", "nothing says where to write"},
      {"plan mark.svg --height 20 --layout bad.toml -o new.toml", "there is no [[kind]]"},
      {"check file.bin --layout harbour-tally -o new.toml", "file.bin"},
      {"convert file.bin --from harbour-tally --to csv -o new.toml", "file.bin"},
  };
  for (const auto& each : cases) {
    const Answer answer = bench.run(each.words);
    EXPECT_EQ(answer.status, 2) << each.words;
    EXPECT_NE(answer.err.find(each.says), std::string::npos) << each.words << "\n" << answer.err;
    EXPECT_FALSE(fs::exists(bench.folder() / "new.toml")) << each.words;
  }
}

TEST_F(Layouts, AreListedAndChecked) {
  const std::string list = bench.run("list layouts").out;
  for (const char* name : {"harbour-tally", "lantern-row", "buoy-lengths", "pilot-signal"}) {
    EXPECT_NE(list.find(name), std::string::npos) << name;
    const Answer check = bench.run(std::string("layout check ") + name);
    EXPECT_EQ(check.status, 0) << check.err;
    EXPECT_NE(check.out.find("Every one of these steps comes back"), std::string::npos);
  }
}

}  // namespace
}  // namespace buckram::app
