// How page 1 shares its room, and the page for what finds none there.
#include "report/sheet.h"
#include "report/sheet_changes.h"

#include <algorithm>

namespace buckram::report {
namespace {

constexpr double kMostCare_mm = 62;     // of page 1 for cautions; the rest goes on behind
constexpr double kLeastBench_mm = 2.2;  // of type; smaller is not read at the machine
constexpr double kLeastTop_mm = 44, kMostTop_mm = 64;
constexpr double kHeadEnd_mm = 22.5, kFoot_mm = 12.5;

// Height of the bench's rows `first` to `end` in page 1's column.
double bench_tall(const Sheet& sheet, double size_mm, std::size_t end) {
  Picture unseen;
  const double x = sheet.left() + sheet.inner() * 0.42 + 7;
  return draw_bench(unseen, sheet, {x, 0, sheet.right(), 0}, size_mm, 0, end);
}

// Room for the bench's rows when the cap's picture takes `top_mm`.
double bench_room(const Sheet& sheet, const TicketLayout& t, double top_mm) {
  const double low = sheet.height_mm - kFoot_mm - 4 - t.care_tall - t.before_tall - 1;
  const double table = thread_table_share(sheet, low - kHeadEnd_mm - 4);
  return low - 3 - (kHeadEnd_mm + top_mm + 1.5 + table + 3.5 + 6.4);
}

// The bench's rows in type as large as fits, the cap's picture and the words beside it as large as
// they leave it; false where they do not fit in the smallest.
bool fit_bench(const Sheet& sheet, TicketLayout& t) {
  struct Share {
    double top_mm, least_mm;
  };
  const double low = sheet.height_mm - kFoot_mm - 4 - t.care_tall - t.before_tall - 1;
  const double room = low - kHeadEnd_mm - 4;
  const double rest = room - thread_table_share(sheet, room) - 8;
  const double top = std::clamp(rest * 0.40, kLeastTop_mm, kMostTop_mm);
  // Small words beside the cap are read no better than small rows: both give way in turn.
  for (const Share& share :
       {Share{top, 2.8}, Share{std::min(top, 52.0), 2.7}, Share{kLeastTop_mm, kLeastBench_mm}}) {
    for (double size = kBody_mm; size > share.least_mm - 0.01; size -= 0.1) {
      const double left =
          bench_room(sheet, t, share.top_mm) - bench_tall(sheet, size, t.n_bench_rows);
      if (left < 0) continue;
      t.bench_size_mm = size;
      t.top_tall = std::min(top, share.top_mm + left);
      return true;
    }
  }
  return false;
}

double before_tall(const Sheet& sheet, bool with_changes) {
  Picture unseen;
  const double end = draw_before(unseen, sheet, 0);
  return (with_changes ? draw_changes(unseen, sheet, end) : end) + 4;
}

}  // namespace

TicketLayout lay_ticket(const Sheet& sheet) {
  Sheet tried = sheet;
  TicketLayout& t = tried.ticket;
  const std::size_t n_rows = bench_rows(sheet, kBody_mm).size(),
                    n_cautions = cautions_of(sheet).size();
  t.n_bench_rows = n_rows;
  t.n_cautions = cautions_within(sheet, 0, kMostCare_mm);
  t.care_tall = care_picture(sheet, 0, t.n_cautions).tall;
  const std::size_t most_told = sheet.visits.size() > 4 ? 1 : 3;
  const bool has_applied = sheet.subject.verdict.applied.has_value();
  bool fits = false;
  // Fewer of the changes worth making, down to none, before a page is begun for them.
  for (std::size_t n = most_told + 1; n-- > (has_applied ? 1U : 0U) && !fits;) {
    t.n_told = n;
    t.before_tall = before_tall(tried, true);
    fits = fit_bench(tried, t);
  }
  if (!fits) {
    t.n_told = 3;
    t.has_changes = false;
    t.before_tall = before_tall(tried, false);
    fits = fit_bench(tried, t);
  }
  if (!fits) {
    t.bench_size_mm = kLeastBench_mm;
    t.top_tall = kLeastTop_mm;
    while (t.n_bench_rows > 1 &&
           bench_tall(sheet, kLeastBench_mm, t.n_bench_rows) > bench_room(sheet, t, kLeastTop_mm))
      --t.n_bench_rows;
  }
  t.is_whole = t.has_changes && t.n_bench_rows == n_rows && t.n_cautions == n_cautions;
  return t;
}

std::vector<Picture> more_pages(const Sheet& sheet) {
  std::vector<Picture> pages;
  const TicketLayout& t = sheet.ticket;
  if (t.is_whole) return pages;
  const Subject& s = sheet.subject;
  const std::size_t n_rows = bench_rows(sheet, kBody_mm).size(),
                    n_cautions = cautions_of(sheet).size();
  std::size_t next = t.n_cautions;
  do {
    Picture page;
    const bool is_first = pages.empty();
    double y = draw_sheet_head(page, sheet, s.title.empty() ? s.artwork : s.title,
                               4 + static_cast<int>(pages.size())) +
               2;
    const double foot = draw_sheet_foot(page, sheet, "page 1: set-up");
    if (is_first && t.n_bench_rows < n_rows) {
      y = draw_part_head(page, sheet, sheet.left(), y, sheet.inner(), "SET UP THE BENCH, GOING ON");
      y = draw_bench(page, sheet, {sheet.left(), y, sheet.right(), foot}, kBody_mm, t.n_bench_rows,
                     n_rows) +
          4;
    }
    if (is_first && !t.has_changes) y = draw_changes(page, sheet, y) + 4;
    if (next < n_cautions) {
      const std::size_t end = cautions_within(sheet, next, foot - 4 - y - 4);
      page.place(care_picture(sheet, next, end).picture, shift(sheet.left(), y + 4));
      next = end;
    }
    pages.push_back(std::move(page));
  } while (next < n_cautions);
  return pages;
}

}  // namespace buckram::report
