// Ctrl-C while changes are searched, on the built program: the best so far, or nothing at all.
#include "program.h"

#include <gtest/gtest.h>

#include <string>

namespace buckram::app {
namespace {

class Interrupt : public ::testing::Test {
 protected:
  Bench bench;
};

// The wordmark as a hurried shop would start it: planned in a moment, searched for many times that.
const std::string kLongSearch =
    "plan '" BUCKRAM_ROOT
    "/examples/tern-and-tide-wordmark.svg' --width 95 --at 0,26 --caps 48 "
    "--speed 950 --needle 80:ball --set stitch.style=flat --set stitch.row_spacing_mm=0.32 "
    "--set stitch.column_spacing_mm=0.32 --auto -o out";

// When the plan is made depends on the machine: the interrupt is tried later and later. Before the
// plan is made nothing is written; after it the best so far is.
TEST_F(Interrupt, AnInterruptedSearchGivesTheBestSoFar) {
  bool was_stopped = false;
  for (double after_s = 0.2; after_s < 60 && !was_stopped; after_s *= 1.5) {
    fs::remove_all(bench.folder() / "out");
    const Answer answer = bench.run(
        kLongSearch, "timeout --foreground --preserve-status -s INT " + std::to_string(after_s));
    if (answer.status == 130) {
      EXPECT_FALSE(fs::exists(bench.folder() / "out/plan.json"));
      continue;
    }
    ASSERT_LE(answer.status, 1) << answer.err;
    was_stopped = answer.err.find("stopped early") != std::string::npos;
    if (!was_stopped) break;
    EXPECT_NE(answer.out.find("best of what was tried"), std::string::npos) << answer.out;
    for (const char* file : {"plan.json", "verdict.json", "sheet.pdf", "stitches.gcode"}) {
      EXPECT_TRUE(fs::exists(bench.folder() / "out" / file)) << file;
    }
    EXPECT_NE(bench.get("out/verdict.json").find("stopped early"), std::string::npos);
    // What was written is whole: it is read again, and forecast the same.
    const Answer again = bench.run("check out/plan.json -o again");
    EXPECT_EQ(again.status, answer.status) << again.err;
  }
  EXPECT_TRUE(was_stopped);
}

TEST_F(Interrupt, ASecondInterruptEndsTheSearchAtOnceWithNothingWritten) {
  const Answer answer = bench.run(kLongSearch,
                                  "sh -c '\"$@\" & p=$!; sleep 1; kill -INT $p; sleep 0.1; "
                                  "kill -INT $p; wait $p' sh");
  EXPECT_EQ(answer.status, 130) << answer.err << answer.out;
  EXPECT_FALSE(fs::exists(bench.folder() / "out/plan.json"));
}

}  // namespace
}  // namespace buckram::app
