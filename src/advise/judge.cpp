#include "advise/verdict.h"

#include "advise/levers.h"
#include "advise/pace.h"
#include "advise/practice.h"
#include "advise/search.h"
#include "advise/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <tuple>

namespace buckram::advise {
namespace {

struct Subject {
  const stitch::Plan& plan;
  const cap::Setup& setup;
  const needle::Mechanics& mechanics;
  const JudgeOptions& options;
  const base::Watch& watch;
};

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

double heaviest_tex(const stitch::Plan& plan) {
  double most = 0;
  for (const stitch::PlanThread& thread : plan.threads) most = std::max(most, thread.tex);
  return most;
}

double sewing_share_s(const Subject& subject, const stitch::Plan& plan, double speed_spm) {
  return advise::sewing_share_s(plan, speed_spm, subject.options.times, subject.setup.bench.heads,
                                subject.options.caps);
}

// Seconds a cap that a level adds: setting up shared over the order, handling, slower sewing.
double seconds_of(const Subject& subject, LeverKind kind, const Level& level) {
  double s = level.each_s + level.once_s / std::max(subject.options.caps, 1);
  if (kind == LeverKind::speed) {
    s += sewing_share_s(subject, subject.plan, level.bench.speed_spm) -
         sewing_share_s(subject, subject.plan, subject.setup.bench.speed_spm);
  }
  return s;
}

std::vector<std::vector<double>> all_seconds(const Subject& subject,
                                             const std::vector<Lever>& all) {
  std::vector<std::vector<double>> seconds;
  for (const Lever& lever : all) {
    seconds.emplace_back();
    for (const Level& level : lever.levels) {
      seconds.back().push_back(seconds_of(subject, lever.kind, level));
    }
  }
  return seconds;
}

cap::Bench bench_with(const cap::Bench& bench, const std::vector<Lever>& all,
                      const Choice& choice) {
  cap::Bench changed = bench;
  for (std::size_t k = 0; k < all.size(); ++k) {
    if (choice[k] == 0) continue;
    changed = apply(std::move(changed), all[k].kind,
                    all[k].levels[static_cast<std::size_t>(choice[k]) - 1]);
  }
  return changed;
}

// Of a plan on a bench, without drivers and words.
needle::Forecast forecast_on(const Subject& subject, const stitch::Plan& plan,
                             const cap::Bench& bench, bool with_interval) {
  needle::ForecastOptions options;
  options.seed = subject.options.seed;
  options.with_drivers = options.with_words = false;
  options.with_interval = with_interval;
  const cap::Setup setup = cap::with_bench(subject.setup, bench);
  return needle::forecast(plan, setup, subject.mechanics, options, subject.watch);
}

double breaks_on(const Subject& subject, const stitch::Plan& plan, const cap::Bench& bench) {
  return forecast_on(subject, plan, bench, false).breaks_per_cap;
}

SearchResult search_bench(const Subject& subject, const std::vector<Lever>& all,
                          const std::vector<std::vector<double>>& seconds, double full) {
  SearchProblem problem;
  for (const Lever& lever : all) problem.n_levels.push_back(static_cast<int>(lever.levels.size()));
  // Screened forecasts are put on the scale of the full one, so that both meet the same limit.
  const needle::Screen screen(subject.plan, subject.setup, subject.mechanics, subject.options.seed);
  const double screened = screen.breaks_per_cap(subject.setup);
  const double scale = screened > 0 ? full / screened : 1;
  problem.breaks = [&](const Choice& choice) {
    subject.watch.at("trying changes on the bench", 0.85);
    const cap::Bench bench = bench_with(subject.setup.bench, all, choice);
    return scale * screen.breaks_per_cap(cap::with_bench(subject.setup, bench));
  };
  problem.seconds = [&](const Choice& choice) {
    double sum = 0;
    for (std::size_t k = 0; k < choice.size(); ++k) {
      if (choice[k] > 0) sum += seconds[k][static_cast<std::size_t>(choice[k]) - 1];
    }
    return sum;
  };
  problem.is_allowed = [&](const Choice& choice) {
    return is_allowed(bench_with(subject.setup.bench, all, choice), subject.setup.mount);
  };
  problem.limit = subject.options.limit_breaks_per_100 / 100;
  problem.break_s = subject.options.times.break_cost_s;
  return search(problem);
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

std::vector<TradeOff> trade_off(const std::vector<Lever>& all, const std::vector<Tried>& tried) {
  std::vector<TradeOff> told;
  for (const Tried& one : tried) {
    TradeOff each{{}, 100 * one.breaks, one.seconds};
    for (std::size_t k = 0; k < all.size(); ++k) {
      const int level = one.choice[k];
      if (level > 0) each.set.push_back(all[k].levels[static_cast<std::size_t>(level) - 1].id);
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

std::vector<Change> changes_of(const std::vector<Lever>& all, const SearchResult& found,
                               const std::vector<std::vector<double>>& seconds,
                               double break_cost_s) {
  std::vector<Change> changes;
  for (std::size_t k = 0; k < all.size(); ++k) {
    const std::size_t i = told_level(found, k, seconds[k], break_cost_s);
    const Level& level = all[k].levels[i];
    Change change;
    change.id = level.id;
    change.words = level.words;
    change.why = level.why;
    change.breaks = 100 * (found.alone[k][i] - found.standing);
    change.time_s = seconds[k][i];
    change.chosen = found.best[k] > 0;
    change.caution = level.caution;
    const bool helps = found.alone[k][i] >= 0 && change.breaks < 0;
    if (helps || change.chosen) changes.push_back(std::move(change));
  }
  rank(changes);
  return changes;
}

// The plan sewn slower where it pays, on a bench.
struct Paced {
  stitch::Plan plan;
  cap::Bench bench;
  double breaks_per_cap = 0;
  double more_s = 0;  // a cap, than at the bench's speed throughout
};

std::string pace_id(const JudgeOptions& options) {
  return fmt::format("bench.slowest_spm={:g}", slowest_spm(options.owned));
}

std::optional<Paced> paced_on(const Subject& subject, const cap::Bench& bench) {
  const JudgeOptions& options = subject.options;
  const bool is_fixed =
      is_locked(pace_id(options), options.locked) || is_locked("bench.speed_spm", options.locked);
  if (is_fixed || bench.slowest_spm > 0 || bench.speed_spm <= slowest_spm(options.owned))
    return std::nullopt;
  Paced paced{subject.plan, bench};
  paced.bench.slowest_spm = slowest_spm(options.owned);
  subject.watch.at("choosing where to slow down", 0.9);
  const cap::Setup setup = cap::with_bench(subject.setup, paced.bench);
  if (!set_pace(paced.plan, setup, subject.mechanics, pace_options(options, setup.bench.heads),
                subject.watch))
    return std::nullopt;
  paced.breaks_per_cap = breaks_on(subject, paced.plan, paced.bench);
  paced.more_s = sewing_share_s(subject, paced.plan, bench.speed_spm) -
                 sewing_share_s(subject, subject.plan, bench.speed_spm);
  return paced;
}

// The speeds that were chosen, as a change made alone; `alone_breaks`: a cap, with those speeds on
// the bench as it stands.
Change change_of(const Subject& subject, const Paced& paced, double alone_breaks,
                 double standing_breaks) {
  const cap::Bench& bench = subject.setup.bench;
  int n_slower = 0;
  double slowest = bench.speed_spm;
  for (const SlowRun& run : slow_runs(paced.plan, bench.speed_spm)) {
    n_slower += run.last - run.first + 1;
    slowest = std::min(slowest, run.spm);
  }
  Change change;
  change.id = pace_id(subject.options);
  change.words =
      fmt::format("Slow down to {:g} a minute only where needles break most: {} of {} stitches",
                  slowest, n_slower, stitch::count(subject.plan).stitches);
  change.why = "The rest keeps its speed";
  change.breaks = 100 * (alone_breaks - standing_breaks);
  change.time_s = paced.more_s;
  return change;
}

// The best set's bench, sewn slower where it pays instead of everywhere, if that is cheaper. Not
// looked for where the best set keeps the limit at full speed: each try costs several forecasts.
std::optional<Paced> better_paced(const Subject& subject, const cap::Bench& best,
                                  double best_breaks) {
  const double limit = subject.options.limit_breaks_per_100 / 100;
  if (best_breaks <= limit && best.speed_spm >= subject.setup.bench.speed_spm) return std::nullopt;
  cap::Bench bench = best;
  bench.speed_spm = subject.setup.bench.speed_spm;
  auto paced = paced_on(subject, bench);
  if (!paced) return std::nullopt;
  const double cost_s = subject.options.times.break_cost_s;
  const double slow_s = sewing_share_s(subject, subject.plan, best.speed_spm) -
                        sewing_share_s(subject, subject.plan, bench.speed_spm);
  const bool is_over = paced->breaks_per_cap > limit, was_over = best_breaks > limit;
  if (is_over != was_over) return is_over ? std::nullopt : paced;
  const bool is_better =
      is_over ? paced->breaks_per_cap < (1 - kLeastGain) * best_breaks
              : paced->breaks_per_cap * cost_s + paced->more_s < best_breaks * cost_s + slow_s;
  return is_better ? paced : std::nullopt;
}

void add_changes(const Subject& subject, const std::vector<cap::Needle>& needles,
                 Verdict& verdict) {
  const JudgeOptions& options = subject.options;
  const std::vector<Lever> all =
      levers(subject.setup, needles, {options.locked, heaviest_tex(subject.plan), options.owned});
  const auto seconds = all_seconds(subject, all);
  SearchResult found = search_bench(subject, all, seconds, verdict.forecast->breaks_per_cap);
  const bool keeps_limit = verdict.answer == Answer::run;
  const bool is_fine = keeps_limit && !options.improves;
  verdict.trade_off = trade_off(all, found.tried);
  std::optional<Paced> paced;
  if (is_fine) {
    found.best.assign(all.size(), 0);  // runs as it is: nothing has to change
  } else {
    // The screen ranks; what the best set leaves is forecast in full before it is promised.
    verdict.best_bench = bench_with(subject.setup.bench, all, found.best);
    verdict.best =
        range_of(forecast_on(subject, subject.plan, *verdict.best_bench, !options.in_brief));
    if (!options.in_brief)
      paced = better_paced(subject, *verdict.best_bench, verdict.best->mean / 100);
  }
  if (paced) {
    for (std::size_t k = 0; k < all.size(); ++k)
      if (all[k].kind == LeverKind::speed) found.best[k] = 0;
    verdict.best_bench = paced->bench;
    verdict.best = range_of(forecast_on(subject, paced->plan, paced->bench, true));
  }
  verdict.changes = changes_of(all, found, seconds, options.times.break_cost_s);
  const auto alone = options.in_brief ? std::nullopt : paced_on(subject, subject.setup.bench);
  if (const auto& told = alone ? alone : paced) {
    const double alone_breaks =
        alone ? alone->breaks_per_cap : breaks_on(subject, told->plan, subject.setup.bench);
    Change change = change_of(subject, *told, alone_breaks, verdict.forecast->breaks_per_cap);
    change.chosen = paced.has_value();
    if (change.breaks < 0 || change.chosen) verdict.changes.push_back(std::move(change));
    rank(verdict.changes);
  }
  if (keeps_limit) return;
  const bool is_enough = verdict.best->mean <= subject.options.limit_breaks_per_100;
  verdict.answer = is_enough ? Answer::rework : Answer::refuse;
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
          .seed = options.seed};
}

Verdict judge(const stitch::Plan& plan, const cap::Setup& setup, const needle::Mechanics& mechanics,
              const std::vector<cap::Needle>& needles, const JudgeOptions& options,
              std::string_view practice_toml, const base::Watch& watch) {
  const Subject subject{plan, setup, mechanics, options, watch};
  Verdict verdict;
  verdict.limit_breaks_per_100 = options.limit_breaks_per_100;
  watch.at("forecasting breaks", 0.7);
  needle::ForecastOptions full;
  full.seed = options.seed;
  full.with_drivers = full.with_words = full.with_interval = !options.in_brief;
  full.locked = options.locked;
  verdict.forecast = needle::forecast(plan, setup, mechanics, full, watch);
  verdict.per_cap =
      per_cap(plan, setup, options.times, options.caps, verdict.forecast->breaks_per_cap);
  if (!options.in_brief) verdict.practice = practice(plan, setup, practice_toml);
  const double breaks_per_100 = 100 * verdict.forecast->breaks_per_cap;
  verdict.answer = breaks_per_100 <= options.limit_breaks_per_100 ? Answer::run : Answer::refuse;
  watch.at("trying changes on the bench", 0.8);
  add_changes(subject, needles, verdict);
  verdict.sentence = sentence_of(verdict);
  if (verdict.answer == Answer::refuse) {
    verdict.notes.push_back({"skipped", "plan", "stitch changes not searched", {}});
  }
  verdict.cautions = standing_cautions();
  return verdict;
}

}  // namespace buckram::advise
