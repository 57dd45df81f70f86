// The search on the mechanics themselves, against every set there is. bench/advise/best_set.cpp
// does the same on plans of the examples and on catalogues of 4,096 sets, which take minutes.
#include "advise/bench_search.h"

#include "advise/block.h"
#include "needle/shop.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>

namespace buckram::advise {
namespace {

struct Trial {
  std::vector<std::string> locked;
  double limit;  // breaks a cap
};

class BenchSearchTest : public ::testing::Test {
 protected:
  // The problem with every set forecast once, however often it is asked for.
  SearchProblem remembered(SearchProblem problem) {
    const auto forecast = problem.breaks;
    problem.breaks = [this, forecast](const Choice& choice) {
      const auto [at, is_new] = known_.try_emplace(choice, 0.0);
      if (is_new) at->second = forecast(choice);
      return at->second;
    };
    return problem;
  }
  std::map<Choice, double> known_;
  std::vector<cap::Needle> needles() const {
    return cap::read_needles(shop_.file("needles.toml"), "needles.toml");
  }
  needle::testing::Shop shop_{BUCKRAM_ROOT "/data"};
};

Score score(const SearchProblem& p, const Choice& choice) {
  const auto n =
      choice.size() - static_cast<std::size_t>(std::count(choice.begin(), choice.end(), 0));
  return score_of(p.breaks(choice), p.seconds(choice), static_cast<double>(n), p.limit, p.break_s,
                  p.bother_s);
}

Score best_of_all(const SearchProblem& p) {
  Score best;
  best.cost = 1e300;
  Choice choice(p.n_levels.size(), 0);
  while (true) {
    if (p.is_allowed(choice)) best = std::min(best, score(p, choice));
    std::size_t k = 0;
    while (k < choice.size() && ++choice[k] > p.n_levels[k]) choice[k++] = 0;
    if (k == choice.size()) return best;
  }
}

TEST_F(BenchSearchTest, FindsTheBestOfAllSetsOnAPlan) {
  const std::vector<Trial> trials{
      {{"bench.needle", "bench.speed_spm", "bench.raise_mm"}, 0.02},
      {{"bench.needle", "bench.speed_spm", "bench.foot_mm"}, 1e-6},
      {{"bench.packing_mm", "bench.raise_mm", "bench.foot_mm", "bench.pressed"}, 0.01}};
  const stitch::Plan plan = testing::block();
  cap::Setup setup = shop_.setup("six-panel-structured-mid", "rotary");
  setup.bench.tautness = 0.4;
  setup.bench.needle = shop_.needle("80:ball");
  setup.bench.speed_spm = 750;
  int n_sets = 0, n_over = 0;
  for (const Trial& trial : trials) {
    known_.clear();
    JudgeOptions options;
    options.limit_breaks_per_100 = 100 * trial.limit;
    options.caps = 48;
    options.draws = testing::kDraws;
    options.locked = trial.locked;
    const base::Watch watch;
    const Judged judged{plan, setup, *shop_.mechanics, options, watch};
    const BenchLevers levers = bench_levers(judged, needles());
    const double full = breaks_on(judged, plan, setup.bench);
    const SearchProblem problem = remembered(bench_problem(judged, levers, full));
    const SearchResult found = search(problem);
    const Score best = best_of_all(problem);
    EXPECT_EQ(score(problem, found.best).is_over, best.is_over);
    EXPECT_DOUBLE_EQ(score(problem, found.best).cost, best.cost) << trial.locked[0];
    EXPECT_LT(found.n_forecasts, static_cast<int>(known_.size())) << "all sets were forecast";
    n_sets += static_cast<int>(known_.size());
    n_over += best.is_over;
  }
  EXPECT_GT(n_sets, 200);
  EXPECT_GE(n_over, 1);
}

}  // namespace
}  // namespace buckram::advise
