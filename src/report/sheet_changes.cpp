#include "report/sheet_changes.h"

#include "report/words.h"

#include <algorithm>

namespace buckram::report {
namespace {

// The changes worth a row. Where the plan runs as it is none is needed: the cheapest stands first.
// Where the set-up has to change, what was chosen does.
std::vector<advise::Change> told_changes(const Sheet& sheet) {
  const std::size_t most = sheet.ticket.n_told;
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

std::string before_and_after(double before, double after) {
  return advise::figure(before) + " → " + advise::figure(std::max(0.0, after));
}

struct Row {
  std::string words, breaks, time;
  bool is_bold = false;
};

constexpr double kRowTall_mm = 4.3;

// Returns the y below.
double draw_row(Picture& picture, const Sheet& sheet, const Row& row, double y) {
  const Type type = sans(kBody_mm, kInk, row.is_bold ? 600 : 400);
  const double base_line = y + 0.72 * kRowTall_mm;
  const double end = draw_paragraph(picture, sheet.left(), y, {{row.words, type}},
                                    {0.52 * sheet.inner(), kRowTall_mm / kBody_mm}, sheet.rule);
  picture.add(
      Text{{sheet.left() + 0.72 * sheet.inner(), base_line}, row.breaks, type, Anchor::end});
  picture.add(Text{{sheet.right(), base_line}, row.time, sans(kBody_mm), Anchor::end});
  return end;
}

double draw_table(Picture& picture, const Sheet& sheet, double y, const std::string& title,
                  const std::string& what, const std::vector<Row>& rows) {
  if (rows.empty()) return y;
  y = draw_part_head(picture, sheet, sheet.left(), y + 2.5, sheet.inner(), title,
                     "each made by itself");
  const Type small = sans(kNote_mm, kInk2);
  const double head = y + 1.6;
  picture.add(Text{{sheet.left(), head}, what, small});
  picture.add(
      Text{{sheet.left() + 0.72 * sheet.inner(), head}, "breaks per 100 caps", small, Anchor::end});
  picture.add(Text{{sheet.right(), head}, "time, the whole order", small, Anchor::end});
  y = head + 1.2;
  for (const Row& row : rows) y = draw_row(picture, sheet, row, y);
  return y;
}

// What --auto made, and what all of it came to.
std::vector<Row> applied_rows(const Sheet& sheet) {
  const advise::Verdict& v = sheet.subject.verdict;
  std::vector<Row> rows;
  if (!v.applied || !v.forecast) return rows;
  const double before = v.applied->before.mean;
  for (const advise::Change& change : v.applied->changes) {
    if (!change.chosen) continue;
    rows.push_back({change.words, before_and_after(before, before + change.breaks),
                    order_time_words(change.time_s * sheet.subject.caps), false});
  }
  if (rows.empty()) return rows;
  const double more_s =
      v.per_cap ? v.per_cap->time.total_s() - v.applied->time_before_s : 0;  // stops counted
  rows.push_back({"All together", before_and_after(before, 100 * v.forecast->breaks_per_cap),
                  order_time_words(more_s * sheet.subject.caps), true});
  return rows;
}

std::vector<Row> told_rows(const Sheet& sheet) {
  std::vector<Row> rows;
  for (const advise::Change& change : told_changes(sheet)) {
    const double standing = 100 * sheet.subject.verdict.forecast->breaks_per_cap;
    rows.push_back({change.words, before_and_after(standing, standing + change.breaks),
                    order_time_words(change.time_s * sheet.subject.caps), change.chosen});
  }
  return rows;
}

}  // namespace

double draw_changes(Picture& picture, const Sheet& sheet, double y) {
  y = draw_table(picture, sheet, y, "WHAT WAS CHANGED", "what was changed", applied_rows(sheet));
  return draw_table(picture, sheet, y,
                    sheet.is_reworked ? "WHAT EACH CHANGE DOES" : "WHAT WOULD HELP FURTHER",
                    "what to change", told_rows(sheet));
}

}  // namespace buckram::report
