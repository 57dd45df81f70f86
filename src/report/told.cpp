#include "report/told.h"

#include "report/chart.h"
#include "report/sheet.h"
#include "report/visit_words.h"
#include "report/words.h"

namespace buckram::report {
namespace {

// The row's figures and the inches that stand beside them.
ToldStep step_of(const BenchRow& row) {
  ToldStep step{row.label, "", "", row.reason, row.is_change};
  for (const Run& run : row.value) {
    const bool is_inches = run.words.ends_with("\u00a0in");
    (is_inches ? step.inches : step.value) += is_inches ? run.words.substr(1) : run.words;
  }
  return step;
}

std::vector<ToldPlace> places_of(const Sheet& sheet) {
  std::vector<ToldPlace> places;
  if (!sheet.subject.verdict.forecast) return places;
  for (Callout& c : callouts(sheet.subject, sheet.subject.verdict.forecast->worst.size())) {
    const double gap_mm = sheet.terrain.gap_field.at(c.at).gap_mm;
    places.push_back({c.number, c.entry, c.at, part_beside(c), c.where,
                      "gap " + fixed(gap_mm, 1) + " mm", c.share});
  }
  return places;
}

}  // namespace

Told tell(const Subject& subject) {
  const TypeRule rule;
  const Sheet sheet = open_sheet(subject, rule, Paper::a4);
  Told told;
  for (const stitch::PlanObject& object : subject.plan.objects)
    told.objects.push_back(part_name(sheet.names, object.id).full);
  told.worst = places_of(sheet);
  for (const BenchRow& row : bench_rows(sheet, kBody_mm)) told.bench.push_back(step_of(row));
  for (const Visit& visit : sheet.visits)
    told.visits.push_back({visit.thread, visit.stitches, visit.first, visit.end, visit.needle_m,
                           words_of_visit(sheet, visit)});
  told.timeline_s = sheet.timeline;
  told.seconds_a_cap = seconds_a_cap(sheet);
  told.spare_caps = spare_caps(breaks_a_cap(sheet) * subject.caps);
  told.usual_top_mm = usual_top_mm(subject);
  return told;
}

}  // namespace buckram::report
