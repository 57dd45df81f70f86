// The search over ways to stitch, on jobs made up so that every set's plan is known: stitches low
// on the front break needles, and each change takes some of them away.
#include "advise/restitch.h"

#include "advise/block.h"
#include "needle/shop.h"

#include <gtest/gtest.h>
#include <tbb/global_control.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <mutex>
#include <set>

namespace buckram::advise {
namespace {

using Set = RestitchSearch::Set;

// A zigzag with that many holes, between 13 and 17 mm above the bill seam.
stitch::Plan zigzag(int n) {
  stitch::Plan plan;
  plan.threads.push_back({"navy", "#00005a", 27, 1});
  plan.objects.push_back({1, stitch::Kind::column, 0, "made up"});
  for (int i = 0; i < n; ++i) {
    plan.x.push_back(-20 + 40.0 * (i % 50) / 50);
    plan.y.push_back(i % 2 == 0 ? 13 : 17);
    plan.op.push_back(stitch::Op::sew);
  }
  plan.x.push_back(plan.x.back());
  plan.y.push_back(plan.y.back());
  plan.op.push_back(stitch::Op::end);
  stitch::Block block;
  block.object = 1;
  block.layer = stitch::Layer::top;
  block.count = n + 1;
  plan.blocks.push_back(block);
  return plan;
}

constexpr int kStandingHoles = 500;
const Sewn kStanding{zigzag(kStandingHoles), {}};

struct MadeUp {
  std::vector<Restitch> changes;
  std::vector<int> fewer;     // holes that each takes away, of 500
  std::set<int> loses;        // those that lose artwork
  std::set<int> has_no_plan;  // sets with one of them
};

class RestitchTest : public ::testing::Test {
 protected:
  RestitchProblem problem(const MadeUp& job, double limit_per_100 = 2) const {
    JudgeOptions options;
    options.limit_breaks_per_100 = limit_per_100;
    options.caps = 48;
    options.draws = testing::kDraws;
    const auto replan = [job](const std::vector<std::string>& ids) {
      int n = kStandingHoles;
      Coverage coverage;
      for (std::size_t i = 0; i < job.changes.size(); ++i) {
        if (std::find(ids.begin(), ids.end(), job.changes[i].id) == ids.end()) continue;
        if (job.has_no_plan.contains(static_cast<int>(i))) return std::optional<Sewn>{};
        if (job.loses.contains(static_cast<int>(i))) coverage.missed += 2;
        n -= job.fewer[i];
      }
      return std::optional<Sewn>{Sewn{zigzag(n), coverage}};
    };
    return {job.changes, replan, *shop_.mechanics, options};
  }
  cap::Setup setup() const { return shop_.setup("six-panel-structured-mid", "rotary"); }

  needle::testing::Shop shop_{BUCKRAM_ROOT "/data"};
};

const MadeUp kJob{{{"stitch.a=1", "a", ""},
                   {"stitch.b=1", "b", ""},
                   {"stitch.b=2", "b", ""},
                   {"stitch.c=1", "c", ""},
                   {"stitch.d=1", "d", ""},
                   {"stitch.e=1", "e", ""}},
                  {75, 25, 62, 100, 125, 1},
                  {3},
                  {4}};

TEST_F(RestitchTest, TakesAllThatHelpsOneOfEachKeyAndNothingThatLosesArtworkOrHasNoPlan) {
  RestitchSearch search(problem(kJob), kStanding);
  EXPECT_EQ(search.best_on(setup(), {}, {}), (Set{0, 2}));
}

TEST_F(RestitchTest, WhatSavesNextToNothingIsLeft) {
  RestitchSearch search(problem(kJob), kStanding);
  const auto alone = search.alone_on(setup(), {});
  ASSERT_TRUE(alone[5].has_value());
  EXPECT_LT(alone[5]->breaks_per_cap, 0);
  const Set best = search.best_on(setup(), {}, {});
  EXPECT_FALSE(std::binary_search(best.begin(), best.end(), 5));
}

TEST_F(RestitchTest, SaysWhatEachDoesAlone) {
  RestitchSearch search(problem(kJob), kStanding);
  const auto alone = search.alone_on(setup(), {});
  ASSERT_EQ(alone.size(), kJob.changes.size());
  EXPECT_FALSE(alone[4].has_value());
  ASSERT_TRUE(alone[3].has_value());
  EXPECT_TRUE(alone[3]->loses_artwork);
  ASSERT_TRUE(alone[0].has_value() && alone[1].has_value());
  EXPECT_FALSE(alone[0]->loses_artwork);
  EXPECT_LT(alone[0]->breaks_per_cap, alone[1]->breaks_per_cap);
  EXPECT_LT(alone[0]->time_s, 0);
  needle::ForecastOptions options;
  options.draws = testing::kDraws;
  options.with_drivers = options.with_words = options.with_interval = false;
  const auto breaks = [&](int n) {
    return needle::forecast(zigzag(n), setup(), *shop_.mechanics, options).breaks_per_cap;
  };
  EXPECT_DOUBLE_EQ(alone[0]->breaks_per_cap, breaks(kStandingHoles - 75) - breaks(kStandingHoles));
}

// Independent changes: the least of all sets, found by trying all of them.
TEST_F(RestitchTest, TheBestSetIsTheBestOfAllSets) {
  base::Random random(3);
  std::size_t n_wanted = 0;
  for (int round = 0; round < 6; ++round) {
    MadeUp job;
    for (int i = 0; i < 5; ++i) {
      job.changes.push_back(
          {"stitch." + std::string(1, static_cast<char>('a' + i)) + "=1", "", ""});
      job.fewer.push_back(random.below(88) - 15);
    }
    RestitchSearch search(problem(job, 1e6), kStanding);
    const Set best = search.best_on(setup(), {}, {});
    Set wanted;
    for (int i = 0; i < 5; ++i) {
      if (job.fewer[static_cast<std::size_t>(i)] > 28) wanted.push_back(i);
    }
    for (const int i : wanted) EXPECT_TRUE(std::binary_search(best.begin(), best.end(), i));
    for (const int i : best) EXPECT_GT(job.fewer[static_cast<std::size_t>(i)], 0);
    EXPECT_LE(search.n_plans(), 32);
    n_wanted += wanted.size();
  }
  EXPECT_GT(n_wanted, 5U);
}

// Of single objects: one that cannot take away enough is never planned; one that alone takes away
// too little is planned once, alone; one that helps is found as ever.
TEST_F(RestitchTest, ObjectsThatCannotHelpAreNotTriedAgain) {
  MadeUp job = kJob;
  job.changes.push_back({"object.1.angle_deg=0", "", "", true, 0.01});
  job.changes.push_back({"object.2.angle_deg=0", "", "", true, 0.3});
  job.changes.push_back({"object.3.angle_deg=0", "", "", true, 0.5});
  job.fewer.insert(job.fewer.end(), {200, 2, 40});
  RestitchProblem watched = problem(job);
  std::mutex mutex;
  std::map<std::string, int> n_planned;
  const Replan replan = watched.replan;
  watched.replan = [&](const std::vector<std::string>& ids) {
    const std::lock_guard<std::mutex> lock(mutex);
    for (const std::string& id : ids) ++n_planned[id];
    return replan(ids);
  };
  RestitchSearch search(std::move(watched), kStanding);
  const auto alone = search.alone_on(setup(), {});
  ASSERT_EQ(alone.size(), job.changes.size());
  EXPECT_FALSE(alone[6].has_value());
  EXPECT_TRUE(alone[7].has_value() && alone[8].has_value());
  EXPECT_EQ(search.best_on(setup(), {}, {}), (Set{0, 2, 8}));
  EXPECT_EQ(search.best_so_far(), (Set{0, 2, 8}));
  EXPECT_EQ(n_planned["object.1.angle_deg=0"], 0);
  EXPECT_EQ(n_planned["object.2.angle_deg=0"], 1);
  EXPECT_GT(n_planned["object.3.angle_deg=0"], 1);
}

TEST_F(RestitchTest, AStartThatHelpsNoMoreIsTakenBack) {
  MadeUp job = kJob;
  job.fewer = {75, 25, 62, 100, 125, -75};
  RestitchSearch search(problem(job), kStanding);
  EXPECT_EQ(search.best_on(setup(), {5}, {}), (Set{0, 2}));
}

TEST_F(RestitchTest, IsTheSameForAnyNumberOfThreads) {
  const auto run = [&](std::size_t threads) {
    const tbb::global_control control(tbb::global_control::max_allowed_parallelism, threads);
    RestitchSearch search(problem(kJob), kStanding);
    std::vector<double> all;
    for (const auto& effect : search.alone_on(setup(), {})) {
      all.push_back(effect ? effect->breaks_per_cap : 0);
    }
    for (const int i : search.best_on(setup(), {}, {})) all.push_back(i);
    return all;
  };
  EXPECT_EQ(run(1), run(4));
}

TEST_F(RestitchTest, CanBeCancelled) {
  base::StopFlag stop{true};
  const base::Watch watch{{}, &stop};
  try {
    RestitchSearch search(problem(kJob), kStanding);
    search.alone_on(setup(), watch);
    FAIL() << "went on";
  } catch (const base::Error& error) {
    EXPECT_EQ(error.code, base::ErrorCode::cancelled);
  }
}

}  // namespace
}  // namespace buckram::advise
