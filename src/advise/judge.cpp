#include "advise/verdict.h"

#include "advise/bench_search.h"
#include "advise/practice.h"
#include "advise/slowing.h"
#include "advise/words.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <tuple>

namespace buckram::advise {
namespace {

PerCap per_cap(const stitch::Plan& plan, const cap::Setup& setup, const ShopTimes& times, int caps,
               double breaks_per_cap) {
  const stitch::Counts counts = stitch::count(plan);
  const stitch::ThreadUse use = stitch::thread_use(plan, cap::stack_mm(setup));
  return {.time = cap_time(plan, setup, times, caps, use.bobbin_m, breaks_per_cap),
          .stitches = counts.stitches,
          .trims = counts.trims,
          .thread_changes = counts.thread_changes,
          .needle_m = use.needle_m,
          .bobbin_m = use.bobbin_m};
}

// The level of a lever worth telling: the chosen one, else the one that costs least by itself.
std::size_t told_level(const SearchResult& found, std::size_t lever,
                       const std::vector<double>& seconds, double break_cost_s) {
  if (found.best[lever] > 0) return static_cast<std::size_t>(found.best[lever]) - 1;
  std::size_t best = 0;
  double least = 1e300;
  for (std::size_t i = 0; i < seconds.size(); ++i) {
    const double alone = found.alone[lever][i];
    const double cost = alone * break_cost_s + seconds[i];
    if (alone < 0 || cost >= least) continue;
    least = cost;
    best = i;
  }
  return best;
}

std::vector<TradeOff> trade_off(const BenchLevers& all, const std::vector<Tried>& tried) {
  std::vector<TradeOff> told;
  for (const Tried& one : tried) {
    TradeOff each{{}, 100 * one.breaks, one.seconds};
    for (std::size_t k = 0; k < one.choice.size(); ++k) {
      if (one.choice[k] > 0) each.set.push_back(all.level(k, one.choice[k]).id);
    }
    told.push_back(std::move(each));
  }
  return front_of(std::move(told));
}

// How much trouble a change is: first what needs nothing bought or altered at the machine, then
// what is altered, last what has to be bought.
std::size_t trouble(const Change& change) {
  static constexpr std::array kOrder{"bench.packing_mm",  "bench.clips",     "bench.pressed",
                                     "bench.tautness",    "bench.backing",   "bench.foot_mm",
                                     "bench.slowest_spm", "bench.speed_spm", "bench.needle",
                                     "bench.raise_mm"};
  const std::string key = change.id.substr(0, change.id.find('='));
  return static_cast<std::size_t>(std::find(kOrder.begin(), kOrder.end(), key) - kOrder.begin());
}

// Most effect first; among those within a quarter of the most left, the least trouble.
void rank(std::vector<Change>& changes) {
  constexpr double kNearlyEqual = 0.75;
  std::sort(changes.begin(), changes.end(), [](const Change& a, const Change& b) {
    return a.breaks != b.breaks ? a.breaks < b.breaks : a.id < b.id;
  });
  for (auto at = changes.begin(); at != changes.end(); ++at) {
    const double enough = kNearlyEqual * at->breaks;  // breaks are negative: fewer
    auto end = at;
    while (end != changes.end() && end->breaks <= enough) ++end;
    const auto least = std::min_element(
        at, end, [](const Change& a, const Change& b) { return trouble(a) < trouble(b); });
    if (at != end) std::rotate(at, least, least + 1);
  }
}

// What each lever is worth: its chosen level, else the one that costs least by itself, with what
// that level does alone, forecast in full. Levers that help nobody are left out.
std::vector<Change> changes_of(const Judged& judged, const BenchLevers& all,
                               const SearchResult& found, double standing) {
  std::vector<Change> changes;
  for (std::size_t k = 0; k < all.levers.size(); ++k) {
    const std::size_t i = told_level(found, k, all.seconds[k], judged.options.times.break_cost_s);
    const Level& level = all.levers[k].levels[i];
    Change change;
    change.id = level.id;
    change.words = level.words;
    change.why = level.why;
    change.time_s = all.seconds[k][i];
    change.chosen = found.best[k] > 0;
    change.caution = level.caution;
    if (found.alone[k][i] < 0 && !change.chosen) continue;  // not allowed on this mount
    // An offer's changes are told without what each does: the screen's figure is enough.
    const double alone =
        judged.options.in_brief
            ? found.alone[k][i]
            : breaks_on(judged, judged.plan, apply(judged.setup.bench, all.levers[k].kind, level));
    change.breaks = 100 * (alone - standing);
    if (change.breaks < 0 || change.chosen) changes.push_back(std::move(change));
  }
  return changes;
}

// What slowing where it pays does by itself, beside the other changes.
void add_slowing(const Judged& judged, const std::optional<Paced>& chosen, Verdict& verdict) {
  const auto alone = paced_on(judged, judged.setup.bench);
  if (!alone && !chosen) return;
  const double standing = verdict.forecast->breaks_per_cap;
  // Where nothing is slowed without the other changes, it does nothing by itself.
  Change change = alone ? change_of(judged, *alone, alone->breaks_per_cap, standing)
                        : change_of(judged, *chosen, standing, standing);
  change.chosen = chosen.has_value();
  if (change.breaks < 0 || change.chosen) verdict.changes.push_back(std::move(change));
}

void set_best(const Judged& judged, const BenchLevers& all, const Choice& choice,
              Verdict& verdict) {
  verdict.best_bench = bench_with(judged.setup.bench, all, choice);
  verdict.best =
      range_of(forecast_on(judged, judged.plan, *verdict.best_bench, !judged.options.in_brief));
}

// The best set as the screen ranks them, and what it leaves, forecast in full before it is
// promised. Where the screen said that it keeps the limit and it does not, the screen's limit is
// corrected by what it was off, and the sets that were tried are ranked anew.
Choice settle_best(const Judged& judged, const BenchLevers& all, SearchProblem problem,
                   const SearchResult& found, Verdict& verdict) {
  constexpr int kMostLooks = 3;
  const double limit = problem.limit;
  Choice best = found.best;
  for (int look = 1;; ++look) {
    set_best(judged, all, best, verdict);
    const double left = verdict.best->mean / 100, screened = breaks_of(found, best);
    const bool is_promised = screened <= problem.limit;
    if (left <= limit || !is_promised || look == kMostLooks) return best;
    problem.limit = limit * screened / left;
    best = best_of(problem, found.tried);
  }
}

// What the set-up that a rework asks for does, for those who draw it.
void add_as_set_up(const Judged& judged, const stitch::Plan& plan,
                   const std::vector<cap::Needle>& needles, Verdict& verdict) {
  needle::ForecastOptions options;
  options.seed = judged.options.seed;
  options.draws = judged.options.draws;
  options.with_drivers = options.with_interval = false;
  const cap::Setup setup = cap::with_bench(judged.setup, *verdict.best_bench);
  const Judged as_set_up{plan, setup, judged.mechanics, judged.options, judged.watch};
  options.locked = out_of_reach(setup, bench_levers(as_set_up, needles).levers);
  AsSetUp made{needle::forecast(plan, setup, judged.mechanics, options, judged.watch), {}};
  for (const stitch::Block& block : plan.blocks) made.block_spm.push_back(block.speed_spm);
  verdict.as_set_up = std::move(made);
}

void add_changes(const Judged& judged, const std::vector<cap::Needle>& needles, Verdict& verdict) {
  const JudgeOptions& options = judged.options;
  const double standing = verdict.forecast->breaks_per_cap;
  const bool keeps_limit = verdict.answer == Answer::run;
  if (keeps_limit && options.in_brief) return;  // an offer that runs says nothing of changes
  const BenchLevers all = bench_levers(judged, needles);
  const SearchProblem problem = bench_problem(judged, all, standing);
  SearchResult found = search(problem);
  verdict.trade_off = trade_off(all, found.tried);
  std::optional<Paced> paced;
  if (keeps_limit && !options.improves) {
    found.best.assign(all.levers.size(), 0);  // runs as it is: nothing has to change
  } else {
    found.best = settle_best(judged, all, problem, found, verdict);
    if (!options.in_brief)
      paced = better_paced(judged, *verdict.best_bench, verdict.best->mean / 100);
  }
  if (paced) {
    for (std::size_t k = 0; k < all.levers.size(); ++k)
      if (all.levers[k].kind == LeverKind::speed) found.best[k] = 0;
    verdict.best_bench = paced->bench;
    verdict.best = range_of(forecast_on(judged, paced->plan, paced->bench, true));
  }
  verdict.changes = changes_of(judged, all, found, standing);
  if (!options.in_brief) add_slowing(judged, paced, verdict);
  rank(verdict.changes);
  if (keeps_limit) return;
  const bool is_enough = verdict.best->mean <= options.limit_breaks_per_100;
  verdict.answer = is_enough ? Answer::rework : Answer::refuse;
  if (!is_enough || options.in_brief) return;
  add_as_set_up(judged, paced ? paced->plan : judged.plan, needles, verdict);
}

}  // namespace

const char* name(Answer answer) {
  switch (answer) {
    case Answer::run:
      return "run";
    case Answer::rework:
      return "rework";
    case Answer::refuse:
      return "refuse";
  }
  return "refuse";
}

std::vector<TradeOff> front_of(std::vector<TradeOff> all) {
  std::stable_sort(all.begin(), all.end(), [](const TradeOff& a, const TradeOff& b) {
    return std::tie(a.time_s, a.breaks_per_100) < std::tie(b.time_s, b.breaks_per_100);
  });
  std::vector<TradeOff> front;
  for (TradeOff& each : all) {
    if (front.empty() || each.breaks_per_100 < front.back().breaks_per_100) {
      front.push_back(std::move(each));
    }
  }
  return front;
}

std::vector<std::string> chosen_ids(const Verdict& verdict) {
  std::vector<std::string> ids;
  for (const Change& change : verdict.changes) {
    if (change.chosen) ids.push_back(change.id);
  }
  return ids;
}

double seconds_a_cap(const Verdict& verdict, const ShopTimes& times) {
  if (!verdict.per_cap) return 0;
  CapTime time = verdict.per_cap->time;
  if (verdict.answer != Answer::rework || !verdict.best) return time.total_s();
  time.needle_breaks_s = verdict.best->mean / 100 * times.needle_break_s;
  double seconds = time.total_s();
  for (const Change& change : verdict.changes) seconds += change.chosen ? change.time_s : 0;
  return std::max(0.0, seconds);
}

PaceOptions pace_options(const JudgeOptions& options, int heads) {
  return {.limit_breaks_per_cap = options.limit_breaks_per_100 / 100,
          .break_cost_s = options.times.break_cost_s,
          .speed_change_s = options.times.speed_change_s,
          .sewing_share = sewing_share(heads, options.caps),
          .seed = options.seed,
          .draws = options.draws};
}

Verdict judge(const stitch::Plan& plan, const cap::Setup& setup, const needle::Mechanics& mechanics,
              const std::vector<cap::Needle>& needles, const JudgeOptions& options,
              std::string_view practice_toml, const base::Watch& watch) {
  const Judged judged{plan, setup, mechanics, options, watch};
  Verdict verdict;
  verdict.limit_breaks_per_100 = options.limit_breaks_per_100;
  watch.at("forecasting breaks", 0.7);
  needle::ForecastOptions full;
  full.seed = options.seed;
  full.draws = options.draws;
  full.with_drivers = full.with_words = full.with_interval = !options.in_brief;
  if (!options.in_brief) full.locked = out_of_reach(setup, bench_levers(judged, needles).levers);
  verdict.forecast = needle::forecast(plan, setup, mechanics, full, watch);
  verdict.per_cap =
      per_cap(plan, setup, options.times, options.caps, verdict.forecast->breaks_per_cap);
  if (!options.in_brief) verdict.practice = practice(plan, setup, practice_toml);
  const double breaks_per_100 = 100 * verdict.forecast->breaks_per_cap;
  verdict.answer = breaks_per_100 <= options.limit_breaks_per_100 ? Answer::run : Answer::refuse;
  watch.at("trying changes on the bench", 0.8);
  add_changes(judged, needles, verdict);
  verdict.sentence = sentence_of(verdict);
  if (verdict.answer == Answer::refuse) {
    verdict.notes.push_back({"skipped", "plan", "stitch changes not searched", {}});
  }
  verdict.cautions = standing_cautions();
  return verdict;
}

}  // namespace buckram::advise
