// Speeds of blocks: the choice against every choice there is, and what it does to a plan.
#include "advise/pace.h"

#include "needle/synthetic.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

namespace buckram::advise {
namespace {

double cost_of(const std::vector<BlockCost>& blocks, const std::vector<int>& levels, double break_s,
               double switch_s) {
  double sum = 0;
  for (std::size_t k = 0; k < blocks.size(); ++k) {
    const auto level = static_cast<std::size_t>(levels[k]);
    sum += blocks[k].seconds[level] + break_s * blocks[k].breaks[level];
    if (k > 0 && levels[k] != levels[k - 1]) sum += switch_s;
  }
  return sum;
}

TEST(CheapestLevels, NoneOfAllChoicesIsCheaper) {
  base::Random random(5);
  int with_switch = 0;
  for (int round = 0; round < 60; ++round) {
    std::vector<BlockCost> blocks(6);
    for (BlockCost& block : blocks) {
      const double n = random.uniform(1, 40), risk = std::pow(random.uniform(), 6);
      for (const double spm : {900.0, 700.0, 500.0}) {
        block.seconds.push_back(60 * n / spm);
        block.breaks.push_back(risk * spm / 900 * 0.01);
      }
    }
    const std::vector<int> chosen = cheapest_levels(blocks, 900, 0.5);
    double least = INFINITY;
    for (int code = 0; code < 729; ++code) {
      std::vector<int> levels;
      for (int k = 0, rest = code; k < 6; ++k, rest /= 3) levels.push_back(rest % 3);
      least = std::min(least, cost_of(blocks, levels, 900, 0.5));
    }
    EXPECT_NEAR(cost_of(blocks, chosen, 900, 0.5), least, 1e-9) << round;
    with_switch +=
        std::adjacent_find(chosen.begin(), chosen.end(), std::not_equal_to<>()) != chosen.end();
  }
  EXPECT_GT(with_switch, 10);  // otherwise switching was never tried
}

TEST(CheapestLevels, EqualCostsKeepTheFasterSpeed) {
  EXPECT_EQ(cheapest_levels({{{1, 1}, {0, 0}}, {{1, 1}, {0, 0}}}, 900, 0),
            (std::vector<int>{0, 0}));
}

TEST(CheapestLevels, ADearerBreakNeverComesWithMoreBreaks) {
  base::Random random(9);
  for (int round = 0; round < 100; ++round) {
    std::vector<BlockCost> blocks(12);
    for (BlockCost& block : blocks) {
      for (const double spm : {900.0, 700.0, 500.0}) {
        block.seconds.push_back(2000 / spm);
        block.breaks.push_back(0.01 * random.uniform());
      }
    }
    double before = INFINITY;
    for (const double price : {1.0, 30.0, 100.0, 1000.0, 1e5}) {
      double breaks = 0;
      const std::vector<int> levels = cheapest_levels(blocks, price, 0.5);
      for (std::size_t k = 0; k < blocks.size(); ++k)
        breaks += blocks[k].breaks[static_cast<std::size_t>(levels[k])];
      EXPECT_LE(breaks, before + 1e-12) << round << " " << price;
      before = breaks;
    }
  }
}

// Long stitches low down across the seam, and short ones high up and aside.
struct Case {
  stitch::Plan plan;
  cap::Setup setup;
};

Case two_blocks() {
  Case c;
  c.setup = needle::testing::shipped_setup("six-panel-structured-mid", "rotary");
  c.setup.bench.speed_spm = 900;
  c.plan.threads.push_back({.name = "Chalk", .rgb = "#ffffff"});
  for (int object = 1; object <= 2; ++object) {
    const int first = c.plan.size();
    for (int k = 0; k < 150; ++k) {
      const double half_mm = object == 1 ? 3 : 1;
      c.plan.x.push_back((object == 1 ? 0 : 25) + (k % 2 == 0 ? -half_mm : half_mm));
      c.plan.y.push_back((object == 1 ? 12 : 40) + 0.02 * k);
      c.plan.op.push_back(stitch::Op::sew);
    }
    c.plan.objects.push_back({.id = object, .kind = stitch::Kind::column});
    c.plan.blocks.push_back(
        {.object = object, .layer = stitch::Layer::top, .first = first, .count = 150});
  }
  return c;
}

double breaks(const Case& c) {
  needle::ForecastOptions options;
  options.with_drivers = options.with_interval = options.with_words = false;
  return needle::forecast(c.plan, c.setup, *needle::testing::shipped_mechanics(), options)
      .breaks_per_cap;
}

TEST(SetPace, SlowsOnlyTheBlockThatBreaksNeedles) {
  Case c = two_blocks();
  const double before = breaks(c);
  c.setup.bench.slowest_spm = 500;
  PaceOptions options;
  options.limit_breaks_per_cap = 1e9;
  options.break_cost_s =
      60 / before;  // all breaks cost a minute; slowing one block to 500 costs 8 s
  ASSERT_TRUE(set_pace(c.plan, c.setup, *needle::testing::shipped_mechanics(), options));
  EXPECT_LT(c.plan.blocks[0].speed_spm, 900);
  EXPECT_GE(c.plan.blocks[0].speed_spm, 500);
  EXPECT_EQ(c.plan.blocks[1].speed_spm, 0);
  EXPECT_LT(breaks(c), 0.9 * before);
  const auto runs = slow_runs(c.plan, 900);
  ASSERT_EQ(runs.size(), 1U);
  EXPECT_EQ(runs[0].first, 1);
  EXPECT_EQ(runs[0].last, 150);
}

TEST(SetPace, BringsThePlanUnderTheLimitWhereTheSlowestSpeedCan) {
  Case c = two_blocks();
  c.setup.bench.slowest_spm = 500;
  PaceOptions options;
  options.break_cost_s = 0;  // nothing pays by itself
  options.limit_breaks_per_cap = 0.9 * breaks(c);
  ASSERT_TRUE(set_pace(c.plan, c.setup, *needle::testing::shipped_mechanics(), options));
  EXPECT_LT(breaks(c), options.limit_breaks_per_cap);
}

TEST(SetPace, ALimitThatSlowingCannotKeepSlowsOnlyWhatPays) {
  Case c = two_blocks();
  c.setup.bench.slowest_spm = 500;
  PaceOptions options;
  options.break_cost_s = 0;
  options.limit_breaks_per_cap = 1e-9 * breaks(c);
  EXPECT_FALSE(set_pace(c.plan, c.setup, *needle::testing::shipped_mechanics(), options));
}

TEST(SetPace, MoreHeadsNeverSlowLess) {
  int before = 0;
  for (const double share : {1.0, 0.5, 0.1}) {
    Case c = two_blocks();
    c.setup.bench.slowest_spm = 500;
    PaceOptions options;
    options.limit_breaks_per_cap = 1e9;
    options.break_cost_s = 20 / breaks(c);
    options.sewing_share = share;
    set_pace(c.plan, c.setup, *needle::testing::shipped_mechanics(), options);
    int slow = 0;
    for (const SlowRun& run : slow_runs(c.plan, 900)) slow += run.last - run.first + 1;
    EXPECT_GE(slow, before);
    before = slow;
  }
  EXPECT_GT(before, 0);
}

TEST(SlowRuns, TellRunsByTheirSpeedAndCountStitchesAsTheMachineDoes) {
  Case c = two_blocks();
  c.plan.blocks[0].speed_spm = 500;
  c.plan.blocks[1].speed_spm = 600;
  const auto runs = slow_runs(c.plan, 900);
  ASSERT_EQ(runs.size(), 2U);
  EXPECT_EQ(runs[1].first, 151);
  EXPECT_EQ(runs[1].last, 300);
  c.plan.blocks[1].speed_spm = 500;
  ASSERT_EQ(slow_runs(c.plan, 900).size(), 1U);
  EXPECT_EQ(slow_runs(c.plan, 900)[0].last, 300);
  EXPECT_TRUE(slow_runs(c.plan, 450).empty());
}

TEST(SetPace, WithoutASlowestSpeedBlocksHaveNone) {
  Case c = two_blocks();
  c.plan.blocks[0].speed_spm = 500;
  EXPECT_FALSE(set_pace(c.plan, c.setup, *needle::testing::shipped_mechanics()));
  EXPECT_EQ(c.plan.blocks[0].speed_spm, 0);
}

}  // namespace
}  // namespace buckram::advise
