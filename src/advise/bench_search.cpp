#include "advise/bench_search.h"

#include <algorithm>
#include <utility>

namespace buckram::advise {
namespace {

double heaviest_tex(const stitch::Plan& plan) {
  double most = 0;
  for (const stitch::PlanThread& thread : plan.threads) most = std::max(most, thread.tex);
  return most;
}

// Seconds a cap that a level adds: setting up shared over the order, handling, slower sewing.
double seconds_of(const Judged& judged, LeverKind kind, const Level& level) {
  double s = level.each_s + level.once_s / std::max(judged.options.caps, 1);
  if (kind == LeverKind::speed) {
    s += sewing_share_s(judged, judged.plan, level.bench.speed_spm) -
         sewing_share_s(judged, judged.plan, judged.setup.bench.speed_spm);
  }
  return s;
}

}  // namespace

BenchLevers bench_levers(const Judged& judged, const std::vector<cap::Needle>& needles) {
  BenchLevers all;
  all.levers = levers(judged.setup, needles,
                      {judged.options.locked, heaviest_tex(judged.plan), judged.options.owned});
  for (const Lever& lever : all.levers) {
    all.seconds.emplace_back();
    for (const Level& level : lever.levels) {
      all.seconds.back().push_back(seconds_of(judged, lever.kind, level));
    }
  }
  return all;
}

cap::Bench bench_with(const cap::Bench& bench, const BenchLevers& levers, const Choice& choice) {
  cap::Bench changed = bench;
  for (std::size_t k = 0; k < choice.size(); ++k) {
    if (choice[k] == 0) continue;
    changed = apply(std::move(changed), levers.levers[k].kind, levers.level(k, choice[k]));
  }
  return changed;
}

SearchProblem bench_problem(const Judged& judged, const BenchLevers& levers, double full) {
  SearchProblem problem;
  for (const Lever& lever : levers.levers) {
    problem.n_levels.push_back(static_cast<int>(lever.levels.size()));
  }
  const needle::Screen screen(judged.plan, judged.setup, judged.mechanics, judged.options.seed);
  const double screened = screen.breaks_per_cap(judged.setup);
  const double scale = screened > 0 ? full / screened : 1;
  problem.breaks = [&judged, &levers, screen, scale](const Choice& choice) {
    judged.watch.at("trying changes on the bench", 0.85);
    const cap::Bench bench = bench_with(judged.setup.bench, levers, choice);
    return scale * screen.breaks_per_cap(cap::with_bench(judged.setup, bench));
  };
  problem.seconds = [&levers](const Choice& choice) {
    double sum = 0;
    for (std::size_t k = 0; k < choice.size(); ++k) {
      if (choice[k] > 0) sum += levers.seconds[k][static_cast<std::size_t>(choice[k]) - 1];
    }
    return sum;
  };
  problem.is_allowed = [&judged, &levers](const Choice& choice) {
    cap::Bench bench;  // of which only what lifts the plate counts: asked of every set there is
    bench.raise_mm = judged.setup.bench.raise_mm;
    bench.packing_mm = judged.setup.bench.packing_mm;
    for (std::size_t k = 0; k < choice.size(); ++k) {
      if (choice[k] == 0) continue;
      const LeverKind kind = levers.levers[k].kind;
      const cap::Bench& to = levers.level(k, choice[k]).bench;
      if (kind == LeverKind::raise) bench.raise_mm = to.raise_mm;
      if (kind == LeverKind::packing) bench.packing_mm = to.packing_mm;
    }
    return is_allowed(bench, judged.setup.mount);
  };
  problem.limit = judged.options.limit_breaks_per_100 / 100;
  problem.break_s = judged.options.times.break_cost_s;
  return problem;
}

needle::Forecast forecast_on(const Judged& judged, const stitch::Plan& plan,
                             const cap::Bench& bench, bool with_interval) {
  needle::ForecastOptions options;
  options.seed = judged.options.seed;
  options.draws = judged.options.draws;
  options.with_drivers = options.with_words = false;
  options.with_interval = with_interval;
  const cap::Setup setup = cap::with_bench(judged.setup, bench);
  return needle::forecast(plan, setup, judged.mechanics, options, judged.watch);
}

double breaks_on(const Judged& judged, const stitch::Plan& plan, const cap::Bench& bench) {
  return forecast_on(judged, plan, bench, false).breaks_per_cap;
}

double sewing_share_s(const Judged& judged, const stitch::Plan& plan, double speed_spm) {
  return sewing_share_s(plan, speed_spm, judged.options.times, judged.setup.bench.heads,
                        judged.options.caps);
}

}  // namespace buckram::advise
