#include "report/sheet_changes.h"

#include "report/words.h"

#include <algorithm>

namespace buckram::report {
namespace {

// The changes worth a row. Where the plan runs as it is none is needed: the cheapest stands first.
// Where the set-up has to change, what was chosen does.
std::vector<advise::Change> told_changes(const Sheet& sheet) {
  // With many visits the bench needs the room.
  const std::size_t most = sheet.visits.size() > 4 ? 1 : 3;
  const advise::Verdict& v = sheet.subject.verdict;
  std::vector<advise::Change> told;
  if (v.answer == advise::Answer::refuse || !v.forecast) return told;
  for (const advise::Change& change : v.changes)
    if (advise::is_worth_telling(v, change)) told.push_back(change);
  std::stable_sort(told.begin(), told.end(), [&](const auto& a, const auto& b) {
    return sheet.is_reworked ? a.chosen && !b.chosen : a.time_s < b.time_s;
  });
  if (told.size() > most) told.resize(most);
  return told;
}

std::string order_time_words(double seconds) {
  if (seconds < -0.5) return duration(-seconds) + " less";
  return seconds < 0.5 ? "none" : duration(seconds);
}

}  // namespace

double draw_changes(Picture& picture, const Sheet& sheet, double y) {
  const std::vector<advise::Change> changes = told_changes(sheet);
  if (changes.empty()) return y;
  y = draw_part_head(picture, sheet, sheet.left(), y + 2.5, sheet.inner(),
                     sheet.is_reworked ? "WHAT EACH CHANGE DOES" : "WHAT WOULD HELP FURTHER",
                     "each made by itself");
  const double breaks_x = sheet.left() + 0.72 * sheet.inner(), row_tall = 4.3;
  const Type small = sans(kNote_mm, kInk2);
  const double head = y + 1.6;
  picture.add(Text{{sheet.left(), head}, "what to change", small});
  picture.add(Text{{breaks_x, head}, "breaks per 100 caps", small, Anchor::end});
  picture.add(Text{{sheet.right(), head}, "time, the whole order", small, Anchor::end});
  const double standing = 100 * sheet.subject.verdict.forecast->breaks_per_cap;
  double base_line = head + row_tall;
  for (const advise::Change& change : changes) {
    const Type type = sans(kBody_mm, kInk, change.chosen ? 600 : 400);
    const double after = std::max(0.0, standing + change.breaks);
    picture.add(Text{{sheet.left(), base_line},
                     sheet.rule.fitted(change.words, type, 0.5 * sheet.inner()),
                     type});
    picture.add(Text{{breaks_x, base_line},
                     advise::figure(standing) + " → " + advise::figure(after),
                     type,
                     Anchor::end});
    picture.add(Text{{sheet.right(), base_line},
                     order_time_words(change.time_s * sheet.subject.caps),
                     sans(kBody_mm),
                     Anchor::end});
    base_line += row_tall;
  }
  return base_line - row_tall + 1;
}

}  // namespace buckram::report
