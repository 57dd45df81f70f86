// Threads in sewing order: needle number, swatch, name, what it sews, stitches, metres.
#include "report/sheet.h"
#include "report/visit_words.h"
#include "report/words.h"

#include <algorithm>
#include <cmath>
#include <set>

namespace buckram::report {
namespace {

constexpr std::size_t kOneColumn = 8;  // rows; more stand in two columns
constexpr std::size_t kMostRows = 40;  // more are told in a line of words
constexpr double kTotals_mm = 9.6;     // two lines under the table
// What a full cone holds (estimate, from memory; shops differ).
constexpr double kCone_m = 5000;

struct Table {
  std::size_t rows = 0, left_out = 0;
  int columns = 1;
  double row_tall = 8.4;
  std::size_t rows_in_column() const {
    return (rows + static_cast<std::size_t>(columns) - 1) / static_cast<std::size_t>(columns);
  }
  double tall() const {
    return 10.2 + static_cast<double>(rows_in_column()) * row_tall + (left_out > 0 ? 4.5 : 0) +
           kTotals_mm;
  }
};

Table plan_table(const Sheet& sheet) {
  Table table;
  table.rows = std::min(sheet.visits.size(), kMostRows);
  table.left_out = sheet.visits.size() - table.rows;
  table.columns = table.rows > kOneColumn ? 2 : 1;
  const std::size_t n = table.rows_in_column();
  table.row_tall = n <= 4 ? 8.4 : n <= 8 ? 6.4 : std::max(2.9, 46.0 / static_cast<double>(n));
  return table;
}

std::string tex_words(double tex) {
  return figure(tex, 0) + " tex";
}

// The weight of all threads, or 0 where they differ.
double common_tex(const Sheet& sheet) {
  const std::vector<stitch::PlanThread>& threads = sheet.subject.plan.threads;
  const bool is_same = std::all_of(threads.begin(), threads.end(), [&](const auto& thread) {
    return std::abs(thread.tex - threads[0].tex) < 0.5;
  });
  return !threads.empty() && is_same ? threads[0].tex : 0;
}

struct Edges {  // x of the columns; widths follow
  double needle, swatch, swatch_wide, name, name_wide, sews, sews_wide, stitches, cap, order;
};

Edges edges_of(double x, double width, bool is_wide) {
  if (is_wide)
    return {x,
            x + 14,
            14,
            x + 33,
            34,
            x + 68,
            width - 68 - 54,
            x + width - 42,
            x + width - 22,
            x + width - 1};
  const double right = x + width - 1;
  return {x, x + 8, 9, x + 19, width - 19 - 42, 0, 0, right - 28, right - 14, right};
}

// On one line, or smaller on as many as the row holds.
void draw_sews(Picture& picture, const Sheet& sheet, const std::string& words, const Edges& e,
               double y, double tall, Type type) {
  const double room = e.sews_wide - 2, leading = 1.12;
  if (sheet.rule.width_mm(words, type) > room) type.size_mm = std::min(type.size_mm, tall / 2.5);
  const Setting setting{room, leading, 2};
  const auto n = static_cast<double>(set_lines({{words, type}}, setting, sheet.rule).size());
  draw_paragraph(picture, e.sews, y + (tall - n * leading * type.size_mm) / 2, {{words, type}},
                 setting, sheet.rule);
}

void draw_row(Picture& picture, const Sheet& sheet, const Visit& visit, const Edges& e, double y,
              double tall) {
  const double body = std::min(kBody_mm, tall * 0.62);
  const double base_line = y + tall / 2 + 0.35 * body;
  const stitch::PlanThread& thread =
      sheet.subject.plan.threads[static_cast<std::size_t>(visit.thread)];
  const Type figures = serif(std::min(5.0, tall * 0.72));
  picture.add(Text{
      {e.needle, y + tall / 2 + 0.33 * figures.size_mm}, std::to_string(thread.needle), figures});
  const double swatch = std::min(5.0, tall * 0.7);
  draw_swatch(
      picture,
      {e.swatch, y + (tall - swatch) / 2, e.swatch + e.swatch_wide, y + (tall + swatch) / 2},
      parse_colour(thread.rgb), visit.thread, 0.22);
  const Type name = sans(body, kInk, 600), plain = sans(body);
  const Type small = sans(std::min(kNote_mm, body * 0.85), kInk2);
  std::string beside = thread.number;
  if (common_tex(sheet) <= 0 && thread.tex > 0)
    beside += (beside.empty() ? "" : ", ") + tex_words(thread.tex);
  const double beside_wide = beside.empty() ? 0 : sheet.rule.width_mm(beside, small) + 1.5;
  const std::string called = sheet.rule.fitted(thread.name, name, e.name_wide - 2 - beside_wide);
  picture.add(Text{{e.name, base_line}, called, name});
  picture.add(Text{{e.name + sheet.rule.width_mm(called, name) + 1.5, base_line}, beside, small});
  if (e.sews_wide > 0) draw_sews(picture, sheet, words_of_visit(sheet, visit), e, y, tall, plain);
  picture.add(Text{{e.stitches, base_line}, thousands(visit.stitches), plain, Anchor::end});
  picture.add(Text{{e.cap, base_line}, fixed(visit.needle_m, 1) + " m", plain, Anchor::end});
  picture.add(Text{{e.order, base_line},
                   thousands(std::llround(std::ceil(visit.needle_m * sheet.subject.caps))) + " m",
                   plain,
                   Anchor::end});
}

void draw_column_heads(Picture& picture, const Sheet& sheet, const Edges& e, double base_line) {
  const Type small = sans(kNote_mm, kInk2);
  picture.add(Text{{e.needle, base_line}, e.sews_wide > 0 ? "needle" : "no.", small});
  picture.add(Text{{e.name, base_line}, "thread", small});
  if (e.sews_wide > 0) picture.add(Text{{e.sews, base_line}, "sews", small});
  picture.add(Text{{e.stitches, base_line}, "stitches", small, Anchor::end});
  picture.add(Text{{e.cap, base_line}, "a cap", small, Anchor::end});
  picture.add(Text{{e.order, base_line},
                   sheet.subject.caps == 1 ? "order" : count_of(sheet.subject.caps, "cap", "caps"),
                   small,
                   Anchor::end});
}

// Cones to have: each head needs its own of every thread.
std::string cone_words(const Sheet& sheet) {
  const Subject& s = sheet.subject;
  std::vector<double> metres(s.plan.threads.size(), 0);
  for (const Visit& v : sheet.visits)
    metres[static_cast<std::size_t>(v.thread)] += v.needle_m * s.caps;
  const int heads = std::max(1, s.setup.bench.heads);
  std::string more;
  for (std::size_t t = 0; t < metres.size(); ++t) {
    const double cones = std::ceil(metres[t] / heads / kCone_m);
    if (cones > 1)
      more += (more.empty() ? "" : ", ") + figure(cones, 0) + " of " + s.plan.threads[t].name;
  }
  const std::string each = heads > 1 ? " a head" : "";
  return "one cone of " + thousands(std::llround(kCone_m)) + " m of each thread" + each +
         (more.empty() ? " is enough" : ", but " + more);
}

void draw_totals(Picture& picture, const Sheet& sheet, double y) {
  const Subject& s = sheet.subject;
  const stitch::Counts counts = stitch::count(s.plan);
  double needle_m = 0;
  for (const Visit& v : sheet.visits) needle_m += v.needle_m;
  const double bobbin_m = s.verdict.per_cap
                              ? s.verdict.per_cap->bobbin_m
                              : stitch::thread_use(s.plan, cap::stack_mm(s.setup)).bobbin_m;
  const int heads = std::max(1, s.setup.bench.heads);
  const double bobbins =
      heads * std::ceil(bobbin_m * std::ceil(s.caps / double(heads)) / s.times.bobbin_m);
  const std::string trims = count_of(counts.trims, "trim", "trims");
  const std::vector<Run> a_cap{
      {"A cap: " + count_of(counts.stitches, "stitch", "stitches") + ", " + trims + ", " +
           count_of(counts.thread_changes, "thread change", "thread changes") + ", " +
           fixed(needle_m, 1) + " m needle thread, " + fixed(bobbin_m, 1) + " m bobbin thread.",
       sans(kBody_mm * 0.94, kInk, 600)}};
  const std::vector<Run> order{
      {"The order: " + thousands(std::llround(std::ceil(bobbin_m * s.caps))) +
           " m bobbin thread, " + count_of(std::llround(bobbins), "bobbin", "bobbins") + " of " +
           figure(s.times.bobbin_m, 0) + " m; " + cone_words(sheet) + ".",
       sans(kBody_mm * 0.94)}};
  picture.stroke(line_between({sheet.left(), y}, {sheet.right(), y}), {kInk, 0.25, {}, false});
  const Setting one_line{sheet.inner(), 1.38, 1};
  y = draw_paragraph(picture, sheet.left(), y + 0.6, a_cap, one_line, sheet.rule);
  draw_paragraph(picture, sheet.left(), y, order, one_line, sheet.rule);
}

// Rows as low as they can be read where it would be taller than told.
Table fitted_table(const Sheet& sheet, double most_tall) {
  Table table = plan_table(sheet);
  if (table.tall() > most_tall && table.rows > 0)
    table.row_tall =
        std::max(2.6, table.row_tall -
                          (table.tall() - most_tall) / static_cast<double>(table.rows_in_column()));
  return table;
}

}  // namespace

std::string words_of_visit(const Sheet& sheet, const Visit& visit) {
  std::vector<std::string> names;
  std::set<std::string> seen;
  for (const int id : visit.objects) {
    const std::string& name = part_name(sheet.names, id).beside;
    if (seen.insert(name).second) names.push_back(name);
  }
  constexpr std::size_t kMostNames = 5;
  const std::size_t n_named = names.size() > kMostNames ? kMostNames - 1 : names.size();
  std::string out;
  for (std::size_t k = 0; k < n_named; ++k) out += (out.empty() ? "" : ", ") + names[k];
  if (n_named < names.size())
    out += " and " + thousands(static_cast<long long>(names.size() - n_named)) + " more";
  return out;
}

double thread_table_share(const Sheet& sheet, double room_mm) {
  return fitted_table(sheet, 0.42 * room_mm).tall();
}

double draw_thread_table(Picture& picture, const Sheet& sheet, double y, double most_tall) {
  const Table table = fitted_table(sheet, most_tall);
  draw_part_head(picture, sheet, sheet.left(), y, sheet.inner(), "THREADS, IN SEWING ORDER",
                 (common_tex(sheet) > 0 ? "all " + tex_words(common_tex(sheet)) + "; " : "") +
                     "metres with tails at trims and starts");
  const double gap = 8, width = (sheet.inner() - gap * (table.columns - 1)) / table.columns;
  for (int c = 0; c < table.columns; ++c) {
    const double x = sheet.left() + c * (width + gap);
    const Edges e = edges_of(x, width, table.columns == 1);
    draw_column_heads(picture, sheet, e, y + 8.6);
    for (std::size_t r = 0; r < table.rows_in_column(); ++r) {
      const std::size_t k = static_cast<std::size_t>(c) * table.rows_in_column() + r;
      if (k >= table.rows) break;
      const double top = y + 10.2 + static_cast<double>(r) * table.row_tall;
      picture.stroke(line_between({x, top}, {x + width, top}), {kRule, 0.2, {}, false});
      draw_row(picture, sheet, sheet.visits[k], e, top, table.row_tall);
    }
  }
  y += table.tall();
  if (table.left_out > 0)
    picture.add(Text{{sheet.left(), y - 1 - kTotals_mm},
                     "and " + thousands(static_cast<long long>(table.left_out)) +
                         " more visits: follow the run strip on page 2",
                     sans(kNote_mm, kInk2)});
  draw_totals(picture, sheet, y - kTotals_mm);
  return y;
}

}  // namespace buckram::report
