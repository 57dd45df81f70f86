#include "advise/slowing.h"

#include <fmt/format.h>

#include <algorithm>

namespace buckram::advise {
namespace {

std::string pace_id(const JudgeOptions& options) {
  return fmt::format("bench.slowest_spm={:g}", slowest_spm(options.owned));
}

}  // namespace

std::optional<Paced> paced_on(const Judged& judged, const cap::Bench& bench) {
  const JudgeOptions& options = judged.options;
  const bool is_fixed =
      is_locked(pace_id(options), options.locked) || is_locked("bench.speed_spm", options.locked);
  if (is_fixed || bench.slowest_spm > 0 || bench.speed_spm <= slowest_spm(options.owned))
    return std::nullopt;
  Paced paced{judged.plan, bench};
  paced.bench.slowest_spm = slowest_spm(options.owned);
  judged.watch.at("choosing where to slow down", 0.9);
  const cap::Setup setup = cap::with_bench(judged.setup, paced.bench);
  if (!set_pace(paced.plan, setup, judged.mechanics, pace_options(options, setup.bench.heads),
                judged.watch))
    return std::nullopt;
  paced.breaks_per_cap = breaks_on(judged, paced.plan, paced.bench);
  paced.more_s = sewing_share_s(judged, paced.plan, bench.speed_spm) -
                 sewing_share_s(judged, judged.plan, bench.speed_spm);
  return paced;
}

std::optional<Paced> better_paced(const Judged& judged, const cap::Bench& best,
                                  double best_breaks) {
  const double limit = judged.options.limit_breaks_per_100 / 100;
  if (best_breaks <= limit && best.speed_spm >= judged.setup.bench.speed_spm) return std::nullopt;
  cap::Bench bench = best;
  bench.speed_spm = judged.setup.bench.speed_spm;
  auto paced = paced_on(judged, bench);
  if (!paced) return std::nullopt;
  const double cost_s = judged.options.times.break_cost_s;
  const double slow_s = sewing_share_s(judged, judged.plan, best.speed_spm) -
                        sewing_share_s(judged, judged.plan, bench.speed_spm);
  const bool is_over = paced->breaks_per_cap > limit, was_over = best_breaks > limit;
  if (is_over != was_over) return is_over ? std::nullopt : paced;
  const bool is_better =
      is_over ? paced->breaks_per_cap < (1 - kLeastGain) * best_breaks
              : paced->breaks_per_cap * cost_s + paced->more_s < best_breaks * cost_s + slow_s;
  return is_better ? paced : std::nullopt;
}

Change change_of(const Judged& judged, const Paced& paced, double alone_breaks,
                 double standing_breaks) {
  const cap::Bench& bench = judged.setup.bench;
  int n_slower = 0;
  double slowest = bench.speed_spm;
  for (const SlowRun& run : slow_runs(paced.plan, bench.speed_spm)) {
    n_slower += run.last - run.first + 1;
    slowest = std::min(slowest, run.spm);
  }
  Change change;
  change.id = pace_id(judged.options);
  change.words =
      fmt::format("Slow down to {:g} a minute only where needles break most: {} of {} stitches",
                  slowest, n_slower, stitch::count(judged.plan).stitches);
  change.why = "The rest keeps its speed";
  change.breaks = 100 * (alone_breaks - standing_breaks);
  change.time_s = paced.more_s;
  return change;
}

}  // namespace buckram::advise
