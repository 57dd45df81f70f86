#include "job/coverage.h"
#include "job/job.h"
#include "job/judging.h"
#include "job/stitch_changes.h"

#include <algorithm>
#include <functional>
#include <string>
#include <string_view>
#include <utility>

namespace buckram::job {
namespace {

using advise::RestitchSearch;

constexpr int kMostRounds = 3;  // of stitches and bench in turn; the second seldom changes much

// The job with its size and place as planned, so that a change of the one leaves the other.
Job pinned(const Resolved& job, const stitch::Plan& plan) {
  const Job carried_out = read_plan_job(plan.job, {});
  Job pinned = job.job;
  pinned.height_mm = carried_out.height_mm;
  pinned.width_mm = carried_out.width_mm;
  pinned.at_mm = carried_out.at_mm;
  return pinned;
}

// Empty where these settings give no plan that may be written.
std::optional<Planned> plan_with(const Job& job, const DataFolder& data,
                                 const artwork::Drawing& drawing, const base::Watch& watch) {
  try {
    Planned planned = plan_stitches(resolve(job, data), drawing, watch);
    if (!planned.plan || !planned.breaches.empty()) return std::nullopt;
    return planned;
  } catch (const base::Error& error) {
    if (error.code == base::ErrorCode::cancelled) throw;
    return std::nullopt;
  }
}

advise::Sewn sewn_of(const Resolved& job, const Planned& planned) {
  return {*planned.plan,
          coverage(*planned.plan, planned.regions, planned.objects, job.recipe.thread_mm)};
}

advise::Replan replan_of(const Resolved& job, const Job& start, const artwork::Drawing& drawing,
                         const base::Watch& watch) {
  return [&job, start, &drawing, &watch](const std::vector<std::string>& ids) {
    const auto planned =
        plan_with(with_settings(start, "changes", ids), job.data, drawing, quiet(watch));
    return planned ? std::optional(sewn_of(job, *planned)) : std::nullopt;
  };
}

// The best bench for a plan, and what its changes do.
advise::Verdict best_bench(const Resolved& job, const stitch::Plan& plan,
                           const base::Watch& watch) {
  advise::JudgeOptions options = judge_options(job);
  options.improves = true;
  return advise::judge(plan, job.setup, *job.mechanics, job.needles, options, job.practice_toml,
                       quiet(watch));
}

// Breaks per 100 caps that a bench change saves or costs the plan as it stood.
double alone_on(const Resolved& job, const Job& start, const stitch::Plan& standing,
                const advise::Verdict& verdict, const std::string& id, const base::Watch& watch) {
  const Resolved changed = resolve(with_settings(start, "changes", {id}), job.data);
  stitch::Plan plan = standing;
  set_pace(changed, plan, quiet(watch));
  needle::ForecastOptions options;
  options.seed = job.job.seed;
  options.with_drivers = options.with_interval = options.with_words = false;
  const double breaks =
      needle::forecast(plan, changed.setup, *job.mechanics, options, quiet(watch)).breaks_per_cap;
  return 100 * (breaks - verdict.forecast->breaks_per_cap);
}

// Changes of both kinds, each with what it does alone to the job as it stood; `bench_alone` tells
// that of a bench change by its id.
std::vector<advise::Change> all_changes(
    const std::vector<advise::Restitch>& stitches,
    const std::vector<std::optional<RestitchSearch::Effect>>& alone,
    const RestitchSearch::Set& made, const advise::Verdict& standing, const advise::Verdict& last,
    const std::function<double(const std::string&)>& bench_alone) {
  std::vector<advise::Change> all;
  for (std::size_t i = 0; i < stitches.size(); ++i) {
    const bool is_made = std::binary_search(made.begin(), made.end(), static_cast<int>(i));
    if (!alone[i] || (alone[i]->loses_artwork && !is_made)) continue;
    if (alone[i]->breaks_per_cap >= 0 && !is_made) continue;
    advise::Change change;
    change.id = stitches[i].id;
    change.words = stitches[i].words;
    change.why = stitches[i].why;
    change.breaks = 100 * alone[i]->breaks_per_cap;
    change.time_s = alone[i]->time_s;
    change.chosen = is_made;
    all.push_back(std::move(change));
  }
  for (const advise::Change& change : last.changes) {
    const auto same =
        std::find_if(standing.changes.begin(), standing.changes.end(),
                     [&](const advise::Change& other) { return other.id == change.id; });
    const bool was_tried = same != standing.changes.end();
    all.push_back(was_tried ? *same : change);
    if (!was_tried) all.back().breaks = bench_alone(change.id);
    all.back().chosen = change.chosen;
    if (all.back().breaks >= 0 && !change.chosen) all.pop_back();
  }
  std::stable_sort(all.begin(), all.end(), [](const advise::Change& a, const advise::Change& b) {
    return a.breaks < b.breaks;
  });
  return all;
}

// Sets of the bench with the stitches as they stood, and with those chosen, the best of both.
std::vector<advise::TradeOff> both_trade_offs(const advise::Verdict& standing,
                                              const advise::Verdict& last,
                                              const std::vector<std::string>& stitches) {
  std::vector<advise::TradeOff> all = standing.trade_off;
  if (!stitches.empty()) {
    const double more_s = last.per_cap->time.sewing_s - standing.per_cap->time.sewing_s;
    for (advise::TradeOff each : last.trade_off) {
      each.set.insert(each.set.begin(), stitches.begin(), stitches.end());
      each.time_s += more_s;
      all.push_back(std::move(each));
    }
  }
  return advise::front_of(std::move(all));
}

// "Nothing helps" of a bench that has just been changed would deny the changes.
void say_nothing_further(advise::Verdict& verdict) {
  constexpr std::string_view kNothing = "Nothing on the bench";
  const std::vector<advise::Change>& all = verdict.applied->changes;
  const std::size_t at = verdict.sentence.find(kNothing);
  const bool is_changed =
      std::any_of(all.begin(), all.end(), [](const advise::Change& each) { return each.chosen; });
  if (is_changed && at != std::string::npos)
    verdict.sentence.replace(at, kNothing.size(), "Nothing further on the bench");
}

struct Found {
  std::vector<std::string> settings;  // all that is to be changed
  advise::Applied applied;
  std::vector<advise::TradeOff> trade_off;
};

Found search_both(const Resolved& job, const Job& start, const artwork::Drawing& drawing,
                  const Planned& planned, const base::Watch& watch) {
  const std::vector<advise::Restitch> stitches = stitch_changes(start, job.recipe);
  RestitchSearch search(
      {stitches, replan_of(job, start, drawing, watch), *job.mechanics, judge_options(job)},
      sewn_of(job, planned));
  const advise::Verdict standing = best_bench(job, *planned.plan, watch);
  const auto alone = search.alone_on(job.setup, watch);
  advise::Verdict last = standing;
  RestitchSearch::Set made;
  for (int round = 0; round < kMostRounds; ++round) {
    const cap::Bench bench = last.best_bench.value_or(job.setup.bench);
    const RestitchSearch::Set next = search.best_on(cap::with_bench(job.setup, bench), made, watch);
    if (next == made) break;
    made = next;
    watch.at("trying changes on the bench", 0.9);
    last = best_bench(job, search.sewn(made)->plan, watch);
  }
  Found found;
  found.settings = search.ids(made);
  found.trade_off = both_trade_offs(standing, last, found.settings);
  const std::vector<std::string> bench = advise::chosen_ids(last);
  found.settings.insert(found.settings.end(), bench.begin(), bench.end());
  const auto bench_alone = [&](const std::string& id) {
    return alone_on(job, start, *planned.plan, standing, id, watch);
  };
  found.applied = {all_changes(stitches, alone, made, standing, last, bench_alone),
                   advise::range_of(*standing.forecast), standing.per_cap->time.total_s()};
  return found;
}

}  // namespace

Improved improve_job(const Resolved& job, const artwork::Drawing& drawing, const Planned& planned,
                     const base::Watch& watch) {
  stitch::refuse_breaches(*planned.plan, planned.breaches);
  const Job start = pinned(job, *planned.plan);
  Found found = search_both(job, start, drawing, planned, watch);
  Improved improved;
  improved.job = resolve(with_settings(start, "changes", found.settings), job.data);
  watch.at("planning with the changes", 0.93);
  improved.planned = plan_stitches(improved.job, drawing, quiet(watch));
  improved.verdict = plan_job(improved.job, drawing, improved.planned, quiet(watch));
  improved.verdict.applied = std::move(found.applied);
  improved.verdict.trade_off = std::move(found.trade_off);
  say_nothing_further(improved.verdict);
  return improved;
}

}  // namespace buckram::job
