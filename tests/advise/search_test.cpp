#include "advise/search.h"

#include "base/base.h"

#include <gtest/gtest.h>

#include <cmath>
#include <functional>

namespace buckram::advise {
namespace {

// A bench whose levers lower the breaks by factors, with a saturation that makes two closers of
// the same gap help less together than apart, as the mechanics do.
struct MadeUp {
  std::vector<std::vector<double>> factor, seconds;
  double standing = 0.1, floor = 0.001;

  SearchProblem problem(double limit) const {
    SearchProblem p;
    for (const auto& levels : factor) p.n_levels.push_back(static_cast<int>(levels.size()));
    p.breaks = [this](const Choice& choice) {
      double b = standing;
      for (std::size_t k = 0; k < choice.size(); ++k) {
        if (choice[k] > 0) b *= factor[k][static_cast<std::size_t>(choice[k]) - 1];
      }
      return b + floor;
    };
    p.seconds = [this](const Choice& choice) {
      double s = 0;
      for (std::size_t k = 0; k < choice.size(); ++k) {
        if (choice[k] > 0) s += seconds[k][static_cast<std::size_t>(choice[k]) - 1];
      }
      return s;
    };
    p.is_allowed = [](const Choice&) { return true; };
    p.limit = limit;
    return p;
  }
};

MadeUp made_up(std::uint64_t seed) {
  base::Random random(seed);
  MadeUp bench;
  const int n = 3 + random.below(4);
  for (int k = 0; k < n; ++k) {
    bench.factor.emplace_back();
    bench.seconds.emplace_back();
    const int levels = 1 + random.below(3);
    for (int i = 0; i < levels; ++i) {
      bench.factor.back().push_back(random.uniform(0.2, 1.3));
      bench.seconds.back().push_back(random.uniform(-5, 60));
    }
  }
  bench.standing = random.uniform(0.01, 0.5);
  return bench;
}

void each_choice(const SearchProblem& p, const std::function<void(const Choice&)>& visit) {
  Choice choice(p.n_levels.size(), 0);
  while (true) {
    visit(choice);
    std::size_t k = 0;
    while (k < choice.size() && ++choice[k] > p.n_levels[k]) choice[k++] = 0;
    if (k == choice.size()) return;
  }
}

int n_changes(const Choice& choice) {
  int n = 0;
  for (const int level : choice) n += level > 0;
  return n;
}

// Oracle: every set forecast. Under the limit the cost counts, above it the breaks.
TEST(Search, FindsASetAsGoodAsTheExhaustiveBest) {
  int n_under = 0, n_over = 0;
  for (std::uint64_t seed = 1; seed <= 60; ++seed) {
    SCOPED_TRACE(seed);
    const MadeUp bench = made_up(seed);
    const SearchProblem p = bench.problem(0.02);
    const auto cost = [&](const Choice& c) {
      return p.breaks(c) * p.break_s + p.seconds(c) + p.bother_s * n_changes(c);
    };
    double least_cost = 1e300, least_breaks = 1e300;
    each_choice(p, [&](const Choice& c) {
      if (p.breaks(c) <= p.limit) least_cost = std::min(least_cost, cost(c));
      least_breaks = std::min(least_breaks, p.breaks(c));
    });
    const SearchResult found = search(p);
    EXPECT_DOUBLE_EQ(found.breaks, p.breaks(found.best));
    if (least_cost < 1e300) {
      ++n_under;
      EXPECT_TRUE(found.is_under_limit);
      EXPECT_LE(cost(found.best), least_cost + 0.05 * std::abs(least_cost) + 1);
    } else {
      ++n_over;
      EXPECT_FALSE(found.is_under_limit);
      EXPECT_LE(found.breaks, 1.25 * least_breaks);
    }
  }
  EXPECT_GT(n_under, 10);
  EXPECT_GT(n_over, 5);
}

TEST(Search, EachLevelsOwnEffectIsItsForecast) {
  const MadeUp bench = made_up(3);
  const SearchProblem p = bench.problem(0.02);
  const SearchResult found = search(p);
  for (std::size_t k = 0; k < p.n_levels.size(); ++k) {
    for (int i = 1; i <= p.n_levels[k]; ++i) {
      Choice alone(p.n_levels.size(), 0);
      alone[k] = i;
      EXPECT_DOUBLE_EQ(found.alone[k][static_cast<std::size_t>(i) - 1], p.breaks(alone));
    }
  }
}

TEST(Search, WhatIsNotAllowedIsNeverChosen) {
  const MadeUp bench = made_up(5);
  SearchProblem p = bench.problem(1e-9);
  p.is_allowed = [](const Choice& c) { return c[0] == 0; };
  const SearchResult found = search(p);
  EXPECT_EQ(found.best[0], 0);
  for (const double alone : found.alone[0]) EXPECT_LT(alone, 0);
}

}  // namespace
}  // namespace buckram::advise
