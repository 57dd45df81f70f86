#include "geometry/hatch.h"

#include "base/base.h"

#include <algorithm>
#include <cmath>

namespace buckram::geometry {

namespace {

struct Crossing {
  long long row;
  double along;
  int winding;
  friend auto operator<=>(const Crossing&, const Crossing&) = default;
};

struct RowGrid {
  double spacing, phase;
  double offset(long long row) const { return phase + static_cast<double>(row) * spacing; }
  // The first row at or above `y`, judged by the very offsets that are compared later.
  long long first_at_or_above(double y) const {
    auto row = static_cast<long long>(std::ceil((y - phase) / spacing));
    while (offset(row - 1) >= y) --row;
    while (offset(row) < y) ++row;
    return row;
  }
};

// a and b are (along, offset). Half open: the lower end counts, the upper one does not.
void add_crossings(Point a, Point b, const RowGrid& grid, std::vector<Crossing>& out) {
  const int winding = a.y < b.y ? 1 : -1;
  if (a.y > b.y) std::swap(a, b);
  if (!(a.y < b.y)) return;
  const double slope = (b.x - a.x) / (b.y - a.y);
  const double lo = std::min(a.x, b.x), hi = std::max(a.x, b.x);
  for (long long row = grid.first_at_or_above(a.y); grid.offset(row) < b.y; ++row) {
    out.push_back({row, std::clamp(a.x + (grid.offset(row) - a.y) * slope, lo, hi), winding});
  }
}

void add_ring(const Ring& ring, Point along, const RowGrid& grid, std::vector<Crossing>& out) {
  if (ring.size() < 3) return;
  const Point across = left_of(along);
  Point a{dot(ring.back(), along), dot(ring.back(), across)};
  for (const Point p : ring) {
    const Point b{dot(p, along), dot(p, across)};
    add_crossings(a, b, grid, out);
    a = b;
  }
}

// Crossings of one row, sorted, to spans; spans that touch become one, empty ones none.
std::vector<Span> spans_of(const Crossing* first, const Crossing* last) {
  std::vector<Span> spans;
  int winding = 0;
  for (; first + 1 < last; ++first) {
    winding += first->winding;
    const double from = first->along, to = (first + 1)->along;
    if (winding == 0 || !(from < to)) continue;
    if (!spans.empty() && from <= spans.back().to) {
      spans.back().to = to;
    } else {
      spans.push_back({from, to});
    }
  }
  return spans;
}

}  // namespace

std::vector<Row> hatch(const Polygons& polygons, double angle_rad, double spacing_mm,
                       double phase_mm) {
  BUCKRAM_ASSERT(spacing_mm > 0 && std::isfinite(angle_rad) && std::isfinite(phase_mm));
  const Point along{std::cos(angle_rad), std::sin(angle_rad)};
  const RowGrid grid{spacing_mm, phase_mm};
  std::vector<Crossing> crossings;
  for (const Polygon& polygon : polygons) {
    add_ring(polygon.outer, along, grid, crossings);
    for (const Ring& hole : polygon.holes) add_ring(hole, along, grid, crossings);
  }
  std::sort(crossings.begin(), crossings.end());

  std::vector<Row> rows;
  for (std::size_t i = 0; i < crossings.size();) {
    std::size_t j = i;
    while (j < crossings.size() && crossings[j].row == crossings[i].row) ++j;
    std::vector<Span> spans = spans_of(crossings.data() + i, crossings.data() + j);
    if (!spans.empty()) rows.push_back({grid.offset(crossings[i].row), std::move(spans)});
    i = j;
  }
  return rows;
}

}  // namespace buckram::geometry
