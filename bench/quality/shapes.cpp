#include "shapes.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace quality {
namespace {

using namespace buckram;

constexpr double kTrimMm = 3;  // a longer move between rows is cut

struct PlainRow {
  int row = 0;
  double y = 0, x0 = 0, x1 = 0;
  bool sewn = false;
};

std::vector<PlainRow> rows_of(const geometry::Polygons& area, double row_mm) {
  std::vector<PlainRow> rows;
  const double phase = geometry::bounds(area).y0 + row_mm / 2;
  for (const geometry::Row& row : geometry::hatch(area, 0, row_mm, phase)) {
    const int k = static_cast<int>(std::lround((row.offset - phase) / row_mm));
    for (const geometry::Span& span : row.spans)
      rows.push_back({k, row.offset, span.from, span.to, false});
  }
  return rows;
}

// The row to sew after `at`: the nearest of the next row that it overlaps; null when there is none.
PlainRow* next_row(std::vector<PlainRow>& rows, const PlainRow& at, double x) {
  PlainRow* best = nullptr;
  double best_mm = kTrimMm;
  for (PlainRow& row : rows) {
    if (row.sewn || row.row != at.row + 1 || row.x0 > at.x1 || row.x1 < at.x0) continue;
    const double mm = std::min(std::abs(row.x0 - x), std::abs(row.x1 - x));
    if (mm <= best_mm) best = &row, best_mm = mm;
  }
  return best;
}

void sew_row(const PlainRow& row, double from_x, double stitch_mm, stitch::Builder& builder) {
  const bool forward = std::abs(row.x0 - from_x) <= std::abs(row.x1 - from_x);
  const double a = forward ? row.x0 : row.x1, b = forward ? row.x1 : row.x0;
  const int n = std::max(1, static_cast<int>(std::ceil(std::abs(b - a) / stitch_mm)));
  for (int k = 0; k <= n; ++k) builder.sew({a + (b - a) * k / n, row.y});
}

}  // namespace

job::Planned plain_rows(const job::Planned& planned, const PlainOptions& options) {
  job::Planned plain = planned;
  plain.order = {};
  stitch::Builder builder({planned.plan->threads.front()}, {{1, stitch::Kind::fill, 0, "", ""}});
  std::vector<PlainRow> rows = rows_of(
      geometry::offset(planned.regions.regions.front().visible, -options.inset_mm), options.row_mm);
  for (PlainRow& first : rows) {
    if (first.sewn) continue;
    if (&first != rows.data()) builder.trim(), ++plain.order.trims;
    builder.begin(1, stitch::Layer::top);
    builder.move({first.x0, first.y});
    for (PlainRow* row = &first; row != nullptr; row = next_row(rows, *row, builder.here().x)) {
      sew_row(*row, builder.here().x, options.stitch_mm, builder);
      row->sewn = true;
    }
  }
  plain.plan = builder.finish();
  return plain;
}

void print_table(const std::vector<Compared>& shapes) {
  fmt::print("{:<14} {:>12} {:>9} {:>10} {:>15} {:>21} {:>9} {:>6}\n", "", "", "missed %",
             "spilled %", "missed+past %", "edge p5/50/95 mm", "thread m", "trims");
  const auto line = [](const std::string& name, const char* whose, const Score& s) {
    fmt::print(
        "{:<14} {:>12} {:>9.2f} {:>10.2f} {:>15.2f} {:>7.2f}{:>7.2f}{:>7.2f} {:>9.2f} {:>6}\n",
        name, whose, s.missed, s.spilled, s.missed + s.outside, s.edge_p5, s.edge_p50, s.edge_p95,
        s.thread_m, s.trims);
  };
  for (const Compared& shape : shapes) {
    line(shape.name, "ours", shape.ours);
    line("", "plain", shape.plain);
    line("", "plain, inset", shape.inset);
  }
}

}  // namespace quality
