#include "advise/pace.h"

#include <algorithm>
#include <cmath>

namespace buckram::advise {
namespace {

constexpr double kStepSpm = 50;
constexpr int kMostSteps = 3;     // a forecast each
constexpr double kDearest = 1e9;  // seconds a break: as good as at any price

// The bench's speed, then down to the slowest by steps of a multiple of kStepSpm.
std::vector<double> levels_of(const cap::Bench& bench) {
  const double range = bench.speed_spm - bench.slowest_spm;
  const double step = kStepSpm * std::ceil(range / (kStepSpm * kMostSteps));
  std::vector<double> levels{bench.slowest_spm};
  while (levels.back() + step < bench.speed_spm) levels.push_back(levels.back() + step);
  levels.push_back(bench.speed_spm);
  std::reverse(levels.begin(), levels.end());
  return levels;
}

std::vector<BlockCost> costs_of(const stitch::Plan& plan, const cap::Setup& setup,
                                const needle::Mechanics& mechanics,
                                const std::vector<double>& levels, const PaceOptions& pace,
                                const base::Watch& watch) {
  needle::ForecastOptions options;
  options.seed = pace.seed;
  options.draws = pace.draws;
  options.with_drivers = options.with_interval = options.with_words = false;
  std::vector<BlockCost> costs(plan.blocks.size());
  for (const double spm : levels) {
    cap::Bench bench = setup.bench;
    bench.speed_spm = spm;
    const std::vector<double> hazard =
        needle::forecast(plan, cap::with_bench(setup, bench), mechanics, options, watch).hazard;
    for (std::size_t k = 0; k < costs.size(); ++k) {
      const stitch::Block& block = plan.blocks[k];
      int n = 0;
      double breaks = 0;
      for (int i = block.first; i < block.first + block.count; ++i) {
        n += plan.op[static_cast<std::size_t>(i)] == stitch::Op::sew;
        breaks += hazard[static_cast<std::size_t>(i)];
      }
      costs[k].seconds.push_back(pace.sewing_share * 60 * n / spm);
      costs[k].breaks.push_back(breaks);
    }
  }
  return costs;
}

double breaks_at(const std::vector<BlockCost>& blocks, const std::vector<int>& levels) {
  double sum = 0;
  for (std::size_t k = 0; k < blocks.size(); ++k)
    sum += blocks[k].breaks[static_cast<std::size_t>(levels[k])];
  return sum;
}

// The least time that keeps the limit: the price of a break is raised until it holds. Where it
// never does, what pays at the true price.
std::vector<int> choose(const std::vector<BlockCost>& blocks, const PaceOptions& options) {
  const auto at = [&](double break_cost_s) {
    return cheapest_levels(blocks, break_cost_s, options.sewing_share * options.speed_change_s);
  };
  const auto is_over = [&](const std::vector<int>& levels) {
    return breaks_at(blocks, levels) > options.limit_breaks_per_cap;
  };
  double low = std::max(options.break_cost_s, 1.0), high = low;
  const std::vector<int> worth_it = at(high);
  std::vector<int> chosen = worth_it;
  while (is_over(chosen) && high < kDearest) {
    low = high, high *= 4;
    chosen = at(high);
  }
  if (is_over(chosen)) return worth_it;
  for (int step = 0; step < 12 && high > low; ++step) {
    const double middle = std::sqrt(low * high);
    std::vector<int> tried = at(middle);
    if (is_over(tried)) {
      low = middle;
    } else {
      high = middle, chosen = std::move(tried);
    }
  }
  return chosen;
}

}  // namespace

std::vector<int> cheapest_levels(const std::vector<BlockCost>& blocks, double break_cost_s,
                                 double speed_change_s) {
  if (blocks.empty()) return {};
  const std::size_t n_levels = blocks.front().seconds.size();
  std::vector<double> cost(n_levels, 0), next(n_levels);
  std::vector<std::vector<int>> came_from;
  for (const BlockCost& block : blocks) {
    std::vector<int> from(n_levels);
    for (std::size_t to = 0; to < n_levels; ++to) {
      std::size_t best = to;
      for (std::size_t k = 0; k < n_levels; ++k) {
        if (cost[k] + (k != to ? speed_change_s : 0) <
            cost[best] + (best != to ? speed_change_s : 0))
          best = k;
      }
      from[to] = static_cast<int>(best);
      next[to] = cost[best] + (best != to ? speed_change_s : 0) + block.seconds[to] +
                 break_cost_s * block.breaks[to];
    }
    came_from.push_back(std::move(from));
    std::swap(cost, next);
  }
  std::vector<int> chosen(blocks.size());
  auto level = static_cast<int>(std::min_element(cost.begin(), cost.end()) - cost.begin());
  for (std::size_t k = blocks.size(); k-- > 0;) {
    chosen[k] = level;
    level = came_from[k][static_cast<std::size_t>(level)];
  }
  return chosen;
}

bool set_pace(stitch::Plan& plan, const cap::Setup& setup, const needle::Mechanics& mechanics,
              const PaceOptions& options, const base::Watch& watch) {
  for (stitch::Block& block : plan.blocks) block.speed_spm = 0;
  const cap::Bench& bench = setup.bench;
  if (bench.slowest_spm <= 0 || bench.slowest_spm >= bench.speed_spm) return false;
  const std::vector<double> spm = levels_of(bench);
  const std::vector<int> levels =
      choose(costs_of(plan, setup, mechanics, spm, options, watch), options);
  bool is_slower = false;
  for (std::size_t k = 0; k < levels.size(); ++k) {
    if (levels[k] == 0) continue;
    plan.blocks[k].speed_spm = spm[static_cast<std::size_t>(levels[k])];
    is_slower = true;
  }
  return is_slower;
}

std::vector<SlowRun> slow_runs(const stitch::Plan& plan, double bench_spm) {
  std::vector<SlowRun> runs;
  double before = bench_spm;
  int stitch = 0;
  for (const stitch::Block& block : plan.blocks) {
    const int first = stitch + 1;
    for (int i = block.first; i < block.first + block.count; ++i)
      stitch += plan.op[static_cast<std::size_t>(i)] == stitch::Op::sew;
    if (stitch < first) continue;
    const double spm = stitch::speed_of(block, bench_spm);
    if (spm < bench_spm && spm != before) runs.push_back({first, stitch, spm});
    if (spm < bench_spm) runs.back().last = stitch;
    before = spm;
  }
  return runs;
}

}  // namespace buckram::advise
