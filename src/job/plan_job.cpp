#include "job/job.h"

#include "job/coverage.h"
#include "job/judging.h"
#include "job/offers.h"
#include "job/readable.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <string>

namespace buckram::job {
namespace {

void add_notes(const std::vector<artwork::Note>& notes, advise::Verdict& verdict) {
  for (const artwork::Note& note : notes) {
    verdict.notes.push_back({note.kind, note.source, note.why, note.at});
  }
}

// How many elements of the artwork lose detail, and where to read of them.
std::string lost_detail(const std::vector<artwork::Note>& notes) {
  std::set<std::string> elements;
  for (const artwork::Note& note : notes) {
    const bool is_lost = note.kind == "left_out" || note.kind == "skipped" ||
                         note.kind == "thickened" || note.kind == "run";
    if (is_lost) elements.insert(note.source);
  }
  return fmt::format(
      "{} of the artwork {} detail that is left out or thickened: page 2 of the run sheet names "
      "it, "
      "verdict.json lists all.",
      elements.size() == 1 ? "1 element" : fmt::format("{} elements", elements.size()),
      elements.size() == 1 ? "has" : "have");
}

// Of rows so small that a needle's width matters; empty where there are none.
std::string small_detail(const std::vector<artwork::Note>& notes) {
  const auto n = std::count_if(notes.begin(), notes.end(),
                               [](const artwork::Note& note) { return note.kind == "small"; });
  if (n == 0) return "";
  return fmt::format(" {} of letters or details {} small for thread: look at {} on the first cap.",
                     n == 1 ? "1 row" : fmt::format("{} rows", n), n == 1 ? "is" : "are",
                     n == 1 ? "it" : "them");
}

// REFUSE: why, and the nearest thing that goes.
advise::Verdict refuse(const Resolved& job, const artwork::Drawing& drawing, const Planned& planned,
                       const base::Watch& watch) {
  advise::Verdict verdict;
  verdict.answer = advise::Answer::refuse;
  verdict.limit_breaks_per_100 = job.job.breaks_per_100;
  verdict.offers = offers(job, drawing, watch);
  const bool has_place = !planned.regions.regions.empty();  // then it is too fine to sew
  verdict.sentence = (has_place ? "" : "Not on this cap as asked. ") + planned.refusal;
  if (!verdict.offers.empty()) {
    verdict.sentence += fmt::format(" It {}.", verdict.offers.front().why);
  }
  verdict.cautions = advise::standing_cautions();
  return verdict;
}

// REFUSE for its breaks: what would keep within the limit.
void add_offers(const Resolved& job, const artwork::Drawing& drawing, const Planned& planned,
                const base::Watch& watch, advise::Verdict& verdict) {
  verdict.offers = offers_within_limit(job, drawing, planned, watch);
  if (!verdict.offers.empty()) {
    verdict.sentence += fmt::format(" It {}.", verdict.offers.front().why);
  }
}

// REFUSE for what can be sewn but not read.
void refuse_unreadable(const artwork::Note& note, advise::Verdict& verdict) {
  verdict.answer = advise::Answer::refuse;
  verdict.sentence = fmt::format("Not at this size: {}. {}", note.why, verdict.sentence);
  verdict.notes.push_back({note.kind, note.source, note.why, note.at});
}

// Per cent of the artwork's area in parts that are sewn thicker than drawn: of the elements that a
// note names, the objects no wider than what thin ones are thickened to. Twice the area over the
// perimeter is the width of a strip.
double thickened_share(const Planned& planned, const digitise::Recipe& recipe) {
  double whole = 0, thickened = 0;
  for (const artwork::Region& region : planned.regions.regions) {
    whole += geometry::area(region.visible);
  }
  std::set<std::string> named;
  for (const artwork::Note& note : planned.notes) {
    if (note.kind == "thickened") named.insert(note.source);
  }
  for (const digitise::Object& object : planned.objects) {
    const double area = geometry::area(object.outline);
    const double width_mm = 2 * area / std::max(geometry::perimeter(object.outline), 1e-9);
    const bool is_thin = width_mm <= recipe.column_from_mm;
    if (is_thin && named.contains(object.source)) thickened += area;
  }
  return whole > 0 ? 100 * thickened / whole : 0;
}

}  // namespace

advise::JudgeOptions judge_options(const Resolved& all) {
  const Job& job = all.job;
  return {.limit_breaks_per_100 = job.breaks_per_100,
          .caps = job.caps,
          .times = all.times,
          .locked = job.locked,
          .seed = job.seed,
          .owned = all.owned};
}

advise::Verdict judge_in_brief(const Resolved& job, const stitch::Plan& plan,
                               const base::Watch& watch) {
  advise::JudgeOptions options = judge_options(job);
  options.in_brief = true;
  return advise::judge(plan, job.setup, *job.mechanics, job.needles, options, job.practice_toml,
                       quiet(watch));
}

base::Watch quiet(const base::Watch& watch) {
  return {{}, watch.stop};
}

void set_pace(const Resolved& job, stitch::Plan& plan, const base::Watch& watch) {
  if (job.setup.bench.slowest_spm <= 0) return;
  advise::set_pace(plan, job.setup, *job.mechanics,
                   advise::pace_options(judge_options(job), job.setup.bench.heads), watch);
}

advise::Verdict check_plan(const Resolved& job, const stitch::Plan& plan,
                           const base::Watch& watch) {
  advise::Verdict verdict = advise::judge(plan, job.setup, *job.mechanics, job.needles,
                                          judge_options(job), job.practice_toml, watch);
  const std::vector<geometry::Point> outside = outside_reach(job, plan);
  if (!outside.empty()) {
    verdict.answer = advise::Answer::refuse;
    verdict.sentence = fmt::format(
        "Not on this cap in this mount: {} stitches lie where the needle cannot go, the first at "
        "{:.0f} mm {}, {:.0f} mm up. {}",
        outside.size(), std::abs(outside.front().x), outside.front().x < 0 ? "left" : "right",
        outside.front().y, verdict.sentence);
  }
  return verdict;
}

advise::Verdict plan_job(const Resolved& job, const artwork::Drawing& drawing,
                         const Planned& planned, const base::Watch& watch) {
  if (planned.plan) stitch::refuse_breaches(*planned.plan, planned.breaches);
  advise::Verdict verdict =
      planned.plan ? check_plan(job, *planned.plan, watch) : refuse(job, drawing, planned, watch);
  if (planned.plan) {
    verdict.coverage =
        coverage(*planned.plan, planned.regions, planned.objects, job.recipe.thread_mm);
    if (verdict.answer == advise::Answer::refuse) add_offers(job, drawing, planned, watch, verdict);
    if (const auto note = unreadable(job, planned, *verdict.coverage)) {
      refuse_unreadable(*note, verdict);
    } else {
      verdict.sentence += small_detail(planned.notes);
    }
  }
  constexpr double kToldShare = 5;  // per cent
  if (verdict.coverage &&
      verdict.coverage->left_out + thickened_share(planned, job.recipe) > kToldShare) {
    verdict.sentence += " " + lost_detail(planned.notes);
  }
  add_notes(planned.notes, verdict);
  return verdict;
}

}  // namespace buckram::job
