// Counts, time and thread against hand counts and published figures.
#include "stitch/plans.h"

#include <gtest/gtest.h>

namespace buckram::stitch::tests {
namespace {

// A straight seam of n stitches.
Plan seam(int n_stitches, double stitch_mm) {
  Builder b(two_threads(), three_objects());
  b.begin(3, Layer::top);
  for (int k = 0; k <= n_stitches; ++k) b.sew({k * stitch_mm, 16});
  return b.finish();
}

TEST(Counts, OfASmallPlanByHand) {
  const Plan plan = sound_plan();
  const Counts counts = count(plan);
  // Object 1: 3 + 5 + 3, object 2: 3 + 6 + 3, object 3: 3 + 5 + 3.
  EXPECT_EQ(counts.stitches, 34);
  EXPECT_EQ(counts.stitches_per_thread, (std::vector<int>{22, 12}));
  EXPECT_EQ(counts.trims, 3);
  EXPECT_EQ(counts.thread_changes, 2);
  EXPECT_EQ(counts.stops, 0);
  EXPECT_NEAR(counts.longest_mm, 3.5, 1e-9);
  EXPECT_EQ(counts.box, (geometry::Box{0, 16, 21.8, 20}));
  double sewn_mm = 0;
  for (int i = 1; i < plan.size(); ++i) {
    if (has_thread(plan, i)) sewn_mm += geometry::distance(plan.at(i - 1), plan.at(i));
  }
  EXPECT_NEAR(counts.sewn_mm_per_thread[0] + counts.sewn_mm_per_thread[1], sewn_mm, 1e-9);
}

TEST(Timeline, OneMinuteOfStitchesTakesAMinute) {
  const std::vector<double> end_s = timeline(seam(649, 0.8), 650);
  EXPECT_NEAR(end_s[649], 60, 1e-9);
  EXPECT_NEAR(end_s.back(), 66, 1e-9);  // the trim at the end
}

TEST(Timeline, ABlockWithASpeedOfItsOwnIsSewnAtItWhereThatIsSlower) {
  Plan plan = seam(649, 0.8);
  plan.blocks.front().speed_spm = 325;
  EXPECT_NEAR(timeline(plan, 650)[649], 120, 1e-9);
  EXPECT_NEAR(timeline(plan, 200)[649], 195, 1e-9);
}

TEST(Timeline, IsMonotoneAndSlowerIsNowhereEarlier) {
  for (std::uint64_t seed = 1; seed <= 100; ++seed) {
    SCOPED_TRACE(seed);
    const Plan plan = random_plan(seed);
    const std::vector<double> fast = timeline(plan, 900), slow = timeline(plan, 650);
    ASSERT_EQ(fast.size(), plan.op.size());
    for (std::size_t i = 0; i < fast.size(); ++i) {
      EXPECT_GE(slow[i], fast[i]);
      if (i > 0) {
        EXPECT_GE(fast[i], fast[i - 1]);
      }
    }
  }
}

// The rectangular model alone: threads without thickness, nothing lost at trims.
LockStitch rectangular(double alpha) {
  return {.alpha = alpha, .thread_mm = 0, .needle_tail_mm = 0, .bobbin_tail_mm = 0};
}

// Class 301: C = 2 + 2 T S. Worked example with its printed answer (textilecalculations.com,
// "sewing thread consumption"): T = 0.01 in, S = 10 stitches an inch: 2.2 in of thread per inch of
// seam.
TEST(ThreadUse, PublishedWorkedExampleOfClass301) {
  const double per_inch = base::kMmPerInch, stack_mm = 0.01 * base::kMmPerInch;
  for (const double alpha : {0.0, 0.3, 0.5, 0.7, 1.0}) {
    // Ten stitches of 2.54 mm are one inch of seam.
    const ThreadUse use = thread_use(seam(10, 2.54), stack_mm, rectangular(alpha));
    EXPECT_NEAR((use.needle_m[0] + use.bobbin_m) * 1000 / per_inch, 2.2, 1e-9);
  }
}

// The same formula over a range of T and S.
TEST(ThreadUse, FollowsTheFormula) {
  int n_cases = 0;
  for (const double stack_mm : {0.0, 0.3, 1.2, 2.5}) {
    for (const double stitch_mm : {0.8, 2.0, 3.75}) {
      const ThreadUse use = thread_use(seam(50, stitch_mm), stack_mm, rectangular(0.4));
      const double c = (use.needle_m[0] + use.bobbin_m) * 1000 / (50 * stitch_mm);
      EXPECT_NEAR(c, 2 + 2 * stack_mm / stitch_mm, 1e-9);
      EXPECT_NEAR(use.needle_m[0] * 1000, 50 * (stitch_mm + 0.8 * stack_mm), 1e-9);
      ++n_cases;
    }
  }
  EXPECT_EQ(n_cases, 12);
}

// Common practice, no source: 1,000 stitches of an average design take about 5 m of needle thread
// and 3 to 3.5 m of bobbin thread. An average stitch is taken as 2.5 mm, average goods with their
// backing as 1 mm thick, with four trims.
TEST(ThreadUse, AgreesWithWhatSewersReckon) {
  Builder b(two_threads(), three_objects());
  for (int part = 0; part < 4; ++part) {
    b.begin(3, Layer::top);
    for (int k = 0; k <= 250; ++k) b.sew({k * 2.5, 16.0 + part});
    b.trim();
  }
  const ThreadUse use = thread_use(b.finish(), 1.0);
  const double needle_m = use.needle_m[0] + use.needle_m[1];
  EXPECT_NEAR(needle_m, 5, 0.5);
  EXPECT_NEAR(use.bobbin_m, 3.25, 0.325);
}

TEST(ThreadUse, TailsGoToTheThreadThatIsCut) {
  const Plan plan = sound_plan();  // cut: thread 0, thread 1, thread 0
  const ThreadUse bare = thread_use(plan, 1, {.needle_tail_mm = 0, .bobbin_tail_mm = 0});
  const ThreadUse tails = thread_use(plan, 1, {.needle_tail_mm = 60, .bobbin_tail_mm = 30});
  EXPECT_NEAR(tails.needle_m[0] - bare.needle_m[0], 0.12, 1e-12);
  EXPECT_NEAR(tails.needle_m[1] - bare.needle_m[1], 0.06, 1e-12);
  EXPECT_NEAR(tails.bobbin_m - bare.bobbin_m, 0.09, 1e-12);
}

// 27 tex of polyester: 0.027 mm2 / (1.38 x 0.65) of cross-section.
TEST(ThreadDiameter, GrowsWithTheRootOfTex) {
  EXPECT_NEAR(thread_diameter_mm(27), 0.196, 0.001);
  EXPECT_NEAR(thread_diameter_mm(4 * 27), 2 * thread_diameter_mm(27), 1e-12);
  EXPECT_EQ(thread_diameter_mm(0), 0);
}

}  // namespace
}  // namespace buckram::stitch::tests
