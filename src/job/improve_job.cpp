#include "job/coverage.h"
#include "job/groundwork.h"
#include "job/job.h"
#include "job/judging.h"
#include "job/stitch_changes.h"

#include <algorithm>
#include <functional>
#include <iterator>
#include <map>
#include <memory>
#include <mutex>
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

advise::Sewn sewn_of(const Resolved& job, const Planned& planned) {
  return {*planned.plan,
          coverage(*planned.plan, planned.regions, planned.objects, job.recipe.thread_mm)};
}

bool is_of_object(const std::string& id) {
  return id.starts_with("object.");
}

// Plans with settings laid over one job. What settings of single objects leave alone is made once
// for all of them.
class Replanner {
 public:
  Replanner(const Resolved& job, Job start, const artwork::Drawing& drawing,
            const Planned& standing, const base::Watch& watch)
      : job_(job),
        start_(std::move(start)),
        drawing_(drawing),
        standing_(standing),
        watch_(quiet(watch)) {}

  // What plans that change single objects share, before they are made side by side.
  void prepare() {
    known_.try_emplace({}, std::make_shared<const Groundwork>(
                               groundwork(resolve(start_, job_.data), drawing_, watch_)));
  }

  // Empty where they give no plan that may be written, or mean other objects than in the job as it
  // stands. Asked from several threads at a time.
  std::optional<advise::Sewn> with(const std::vector<std::string>& ids) {
    try {
      const Resolved job = resolve(with_settings(start_, "changes", ids), job_.data);
      const Planned planned = plan_on(*ground(job, ids), job, watch_);
      if (!planned.plan || !planned.breaches.empty()) return std::nullopt;
      if (!are_same_objects(ids, standing_, planned)) return std::nullopt;
      return sewn_of(job_, planned);
    } catch (const base::Error& error) {
      if (error.code == base::ErrorCode::cancelled) throw;
      return std::nullopt;
    }
  }

 private:
  std::shared_ptr<const Groundwork> ground(const Resolved& job,
                                           const std::vector<std::string>& ids) {
    std::vector<std::string> of_design;
    std::copy_if(ids.begin(), ids.end(), std::back_inserter(of_design),
                 [](const std::string& id) { return !is_of_object(id); });
    {
      const std::lock_guard<std::mutex> lock(mutex_);
      const auto found = known_.find(of_design);
      if (found != known_.end()) return found->second;
    }
    auto made = std::make_shared<const Groundwork>(groundwork(job, drawing_, watch_));
    const std::lock_guard<std::mutex> lock(mutex_);
    return known_.try_emplace(std::move(of_design), std::move(made)).first->second;
  }

  const Resolved& job_;
  Job start_;
  const artwork::Drawing& drawing_;
  const Planned& standing_;
  base::Watch watch_;
  std::mutex mutex_;
  std::map<std::vector<std::string>, std::shared_ptr<const Groundwork>> known_;
};

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
  for (std::size_t i = 0; i < alone.size(); ++i) {
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

// Everything found, at any time of the search.
struct Found {
  std::vector<advise::Restitch> stitches;
  std::optional<advise::Verdict> standing;  // of the job as it stands, with its best bench
  std::vector<std::optional<RestitchSearch::Effect>> alone;
  RestitchSearch::Set made;
  std::optional<advise::Verdict> last;  // of the best stitches so far, with their best bench
  std::vector<std::string> ids;         // of `made`
  std::vector<std::string> last_ids;    // those that `last` was judged with
  bool is_stopped = false;
};

// What is searched. Refers to what outlives it.
struct Ground {
  const Resolved& job;
  const Job& start;
  const artwork::Drawing& drawing;
  const Planned& planned;
};

// Keeps `found` up to date, so that it holds the best so far whenever it throws Error{cancelled}.
void search_in_turn(const Ground& ground, Found& found, int& n_plans, const base::Watch& watch) {
  const Resolved& job = ground.job;
  found.last = found.standing = best_bench(job, *ground.planned.plan, watch);
  found.stitches = stitch_changes(ground.start, job, ground.planned, *found.standing->forecast);
  Replanner replanner(job, ground.start, ground.drawing, ground.planned, watch);
  if (std::any_of(found.stitches.begin(), found.stitches.end(),
                  [](const advise::Restitch& each) { return each.is_of_object; })) {
    replanner.prepare();
  }
  RestitchSearch search(
      {found.stitches, [&](const std::vector<std::string>& ids) { return replanner.with(ids); },
       *job.mechanics, judge_options(job)},
      sewn_of(job, ground.planned));
  const auto keep = [&] {
    found.made = search.best_so_far();
    found.ids = search.ids(found.made);
    n_plans = search.n_plans();
  };
  try {
    found.alone = search.alone_on(job.setup, watch);
    for (int round = 0; round < kMostRounds; ++round) {
      const cap::Bench bench = found.last->best_bench.value_or(job.setup.bench);
      const RestitchSearch::Set before = found.made;
      search.best_on(cap::with_bench(job.setup, bench), before, watch);
      keep();
      if (found.made == before) break;
      watch.at("trying changes on the bench", 0.9);
      found.last = best_bench(job, search.sewn(found.made)->plan, watch);
      found.last_ids = found.ids;
    }
    watch.at("planning with the changes", 0.93);  // stopped as late as here it keeps what it found
  } catch (const base::Error&) {
    keep();
    throw;
  }
  keep();
}

Found search_both(const Ground& ground, const ImproveOptions& options, int& n_plans,
                  const base::Watch& watch) {
  Found found;
  try {
    search_in_turn(ground, found, n_plans, watch);
  } catch (const base::Error& error) {
    const bool goes_on = error.code == base::ErrorCode::cancelled && options.keeps_best;
    if (!goes_on || !options.keeps_best()) throw;
    found.is_stopped = true;
  }
  return found;
}

// All that is to be changed.
std::vector<std::string> settings_of(const Found& found) {
  std::vector<std::string> settings = found.ids;
  if (found.last) {
    const std::vector<std::string> bench = advise::chosen_ids(*found.last);
    settings.insert(settings.end(), bench.begin(), bench.end());
  }
  return settings;
}

// What was changed, in the verdict on the changed job.
void tell_what_was_changed(const Ground& ground, const Found& found, const base::Watch& watch,
                           advise::Verdict& verdict) {
  const advise::Verdict& standing = found.standing ? *found.standing : verdict;
  const advise::Verdict& last = found.last ? *found.last : standing;
  advise::Applied applied{
      {}, advise::range_of(*standing.forecast), standing.per_cap->time.total_s()};
  if (found.standing) {
    applied.changes = all_changes(
        found.stitches, found.alone, found.made, standing, last, [&](const std::string& id) {
          return alone_on(ground.job, ground.start, *ground.planned.plan, standing, id, watch);
        });
    verdict.trade_off = both_trade_offs(standing, last, found.last_ids);
  }
  verdict.applied = std::move(applied);
  say_nothing_further(verdict);
  if (!found.is_stopped) return;
  constexpr const char* kStopped =
      "stopped early: the best of what was tried until then; more might be found";
  verdict.notes.insert(verdict.notes.begin(), {"stopped", "the search", kStopped, {}});
}

}  // namespace

Improved improve_job(const Resolved& job, const artwork::Drawing& drawing, const Planned& planned,
                     const base::Watch& watch, const ImproveOptions& options) {
  stitch::refuse_breaches(*planned.plan, planned.breaches);
  const Job start = pinned(job, *planned.plan);
  const Ground ground{job, start, drawing, planned};
  Improved improved;
  const Found found = search_both(ground, options, improved.n_plans, watch);
  improved.is_stopped = found.is_stopped;
  const base::Watch after = quiet(watch);
  improved.job = resolve(with_settings(start, "changes", settings_of(found)), job.data);
  improved.planned = plan_stitches(improved.job, drawing, after);
  improved.verdict = plan_job(improved.job, drawing, improved.planned, after);
  tell_what_was_changed(ground, found, after, improved.verdict);
  return improved;
}

}  // namespace buckram::job
