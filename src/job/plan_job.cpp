#include "job/job.h"

#include "job/coverage.h"
#include "job/offers.h"

#include <fmt/format.h>

namespace buckram::job {
namespace {

advise::JudgeOptions judge_options(const Job& job) {
  return {job.breaks_per_100, job.caps, job.locked, job.seed};
}

void add_notes(const std::vector<artwork::Note>& notes, advise::Verdict& verdict) {
  for (const artwork::Note& note : notes) {
    verdict.notes.push_back({note.kind, note.source, note.why, note.at});
  }
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

}  // namespace

advise::Verdict check_plan(const Resolved& job, const stitch::Plan& plan,
                           const base::Watch& watch) {
  advise::Verdict verdict = advise::judge(plan, job.setup, *job.mechanics, job.needles,
                                          judge_options(job.job), job.practice_toml, watch);
  const std::vector<geometry::Point> outside = outside_reach(job, plan);
  if (!outside.empty()) {
    verdict.answer = advise::Answer::refuse;
    verdict.sentence = fmt::format(
        "Not on this cap in this mount: {} stitches lie where the needle cannot go, the first at "
        "{:.1f}, {:.1f} mm. {}",
        outside.size(), outside.front().x, outside.front().y, verdict.sentence);
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
  }
  add_notes(planned.notes, verdict);
  return verdict;
}

}  // namespace buckram::job
