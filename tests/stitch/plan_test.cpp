// The plan's form, and the builder that keeps it.
#include "stitch/plans.h"

#include <gtest/gtest.h>

namespace buckram::stitch::tests {
namespace {

std::string refusal(const Plan& plan) {
  try {
    check_form(plan);
  } catch (const base::Error& error) {
    return base::message(error);
  }
  return "";
}

std::string letters(const Plan& plan) {
  std::string out;
  for (const Op op : plan.op) out += static_cast<char>(op);
  return out;
}

TEST(Builder, WhateverIsCalledThePlanKeepsItsFormAndIsTrimmed) {
  int n_changes = 0, n_trims = 0;
  for (std::uint64_t seed = 1; seed <= 500; ++seed) {
    SCOPED_TRACE(seed);
    const Plan plan = random_plan(seed);
    EXPECT_EQ(refusal(plan), "");
    for (const Breach& breach : breaches(plan, {}, {})) {
      EXPECT_EQ(breach.rule.find("not trimmed"), std::string::npos);
    }
    EXPECT_EQ(plan.op.back(), Op::end);
    n_changes += count(plan).thread_changes;
    n_trims += count(plan).trims;
  }
  EXPECT_GT(n_changes, 300);
  EXPECT_GT(n_trims, 1000);
}

TEST(Builder, TrimsAndChangesBetweenThreads) {
  Builder b(two_threads(), three_objects());
  b.begin(1, Layer::top);
  b.sew({0, 16});
  b.sew({2, 16});
  b.begin(2, Layer::top);
  b.move({5, 16});
  b.sew({5, 16});
  b.begin(3, Layer::top);
  b.sew({9, 16});
  const Plan plan = b.finish();
  EXPECT_EQ(letters(plan), "sstcmstcste");
  ASSERT_EQ(plan.blocks.size(), 3u);
  EXPECT_EQ(plan.blocks[1].first, 2);  // t c m go with the block that follows
  EXPECT_EQ(plan.blocks[1].count, 4);
  EXPECT_EQ(plan.blocks[2].count, 5);  // and the end with the last
}

TEST(Builder, RoundsAndNeverWritesMinusZero) {
  Builder b(two_threads(), three_objects());
  b.begin(1, Layer::top);
  b.sew({-0.0001, 16.12345});
  const Plan plan = b.finish();
  EXPECT_FALSE(std::signbit(plan.x[0]));
  EXPECT_EQ(plan.y[0], 16.123);
}

TEST(Builder, AnEmptyPlanIsAPlan) {
  const Plan plan = Builder(two_threads(), three_objects()).finish();
  EXPECT_EQ(plan.size(), 0);
  EXPECT_EQ(refusal(plan), "");
}

TEST(Plan, ThreadLiesOnlyBetweenTwoSews) {
  const Plan plan = sound_plan();
  int n_with = 0;
  for (int i = 0; i < plan.size(); ++i) {
    const bool both = i > 0 && plan.op[i - 1] == Op::sew && plan.op[i] == Op::sew;
    EXPECT_EQ(has_thread(plan, i), both);
    n_with += both;
  }
  EXPECT_GT(n_with, 20);
}

TEST(Plan, BlockOfEveryEntry) {
  const Plan plan = sound_plan();
  const std::vector<int> block_of = block_of_entries(plan);
  ASSERT_EQ(block_of.size(), plan.op.size());
  for (int i = 0; i < plan.size(); ++i) {
    const Block& block = plan.blocks[static_cast<std::size_t>(block_of[i])];
    EXPECT_TRUE(block.first <= i && i < block.first + block.count);
  }
}

struct Fault {
  const char* name;
  void (*make)(Plan&);
  const char* says;
};

TEST(Plan, EveryRuleOfTheFormIsChecked) {
  const Fault faults[] = {
      {"short x", [](Plan& p) { p.x.pop_back(); }, "one length"},
      {"not a number", [](Plan& p) { p.x[3] = std::nan(""); }, "entry 3"},
      {"infinite", [](Plan& p) { p.y[4] = HUGE_VAL; }, "entry 4"},
      {"far away", [](Plan& p) { p.x[3] = 2000.5; }, "2000 mm"},
      {"early end", [](Plan& p) { p.op[5] = Op::end; }, "last entry"},
      {"trim elsewhere", [](Plan& p) { p.op[4] = Op::trim; }, "repeat the position"},
      {"id 0", [](Plan& p) { p.objects[1].id = 0; }, "ids go from 1"},
      {"id too large", [](Plan& p) { p.objects[1].id = 10'000'001; }, "10000000"},
      {"id twice", [](Plan& p) { p.objects[1].id = 1; }, "used twice"},
      {"object's thread", [](Plan& p) { p.objects[1].thread = 2; }, "thread 2 does not exist"},
      {"negative thread", [](Plan& p) { p.blocks[0].thread = -1; }, "thread -1 does not exist"},
      {"unknown object", [](Plan& p) { p.blocks[0].object = 9; }, "object 9 does not exist"},
      {"gap", [](Plan& p) { ++p.blocks[1].first; }, "block 1"},
      {"empty block", [](Plan& p) { p.blocks[1].count = 0; }, "block 1"},
      {"overlong block", [](Plan& p) { p.blocks.back().count = 1 << 30; }, "do not cover"},
      {"uncovered", [](Plan& p) { p.blocks.pop_back(); }, "the blocks end at"},
      {"silent change", [](Plan& p) { p.blocks[1].thread = 1; }, "without a `c`"},
  };
  for (const Fault& fault : faults) {
    Plan plan = sound_plan();
    ASSERT_EQ(refusal(plan), "");
    fault.make(plan);
    EXPECT_NE(refusal(plan).find(fault.says), std::string::npos)
        << fault.name << ": " << refusal(plan);
  }
}

}  // namespace
}  // namespace buckram::stitch::tests
