#include "digitise/fill_rows.h"

#include <algorithm>
#include <cmath>

namespace buckram::digitise {

using geometry::Point;
using geometry::Ring;

namespace {

void add_ring(Rows& rows, const Ring& ring, const geometry::Affine& turn) {
  if (ring.size() < 3) return;
  Ring turned;
  turned.reserve(ring.size());
  for (Point p : ring) turned.push_back(turn(p));
  rows.rings.push_back(std::move(turned));
}

// Rows that lie in [y0, y1) are those an edge between these heights crosses (half-open rule).
int first_row_from(const Rows& rows, double y) {
  int row = static_cast<int>(std::ceil((y - rows.first_mm) / rows.spacing_mm));
  while (row > 0 && rows.y(row - 1) >= y) --row;  // what rounding put one too far
  while (rows.y(row) < y) ++row;
  return std::max(row, 0);
}

void cross_edge(Rows& rows, int ring, int edge, Point a, Point b) {
  if (a.y == b.y) return;
  const bool rising = b.y > a.y;
  const double low = std::min(a.y, b.y), high = std::max(a.y, b.y);
  const int first = first_row_from(rows, low);
  const int last = std::min(first_row_from(rows, high), rows.n_rows);
  for (int i = first; i < last; ++i) {
    const int row = rising ? i : first + last - 1 - i;
    const double t = (rows.y(row) - a.y) / (b.y - a.y);
    const double x = std::clamp(a.x + (b.x - a.x) * t, std::min(a.x, b.x), std::max(a.x, b.x));
    rows.crossings.push_back({x, row, ring, edge, -1, -1, -1, rising});
  }
}

void cross_ring(Rows& rows, int ring) {
  const Ring& points = rows.rings[ring];
  const int first = static_cast<int>(rows.crossings.size());
  for (std::size_t e = 0; e < points.size(); ++e)
    cross_edge(rows, ring, static_cast<int>(e), points[e], points[(e + 1) % points.size()]);
  const int last = static_cast<int>(rows.crossings.size());
  for (int c = first; c < last; ++c) {
    const int next = c + 1 < last ? c + 1 : first;
    rows.crossings[c].next = next;
    rows.crossings[next].prev = c;
  }
}

// Left ends fall, right ends rise. Rounding can swap two crossings at nearly the same place.
void mend_order(const Rows& rows, std::vector<int>& row) {
  constexpr double kSamePlaceMm = 1e-6;
  for (std::size_t i = 0; i + 1 < row.size(); ++i) {
    const Crossing &a = rows.crossings[row[i]], &b = rows.crossings[row[i + 1]];
    const bool want_rising = i % 2 == 1;
    if (a.rising != want_rising && b.rising == want_rising && b.x - a.x < kSamePlaceMm)
      std::swap(row[i], row[i + 1]);
  }
}

void pair_up(Rows& rows) {
  std::vector<std::vector<int>> by_row(static_cast<std::size_t>(rows.n_rows));
  for (std::size_t c = 0; c < rows.crossings.size(); ++c)
    by_row[rows.crossings[c].row].push_back(static_cast<int>(c));
  for (std::vector<int>& row : by_row) {
    std::sort(row.begin(), row.end(), [&rows](int a, int b) {
      const double xa = rows.crossings[a].x, xb = rows.crossings[b].x;
      return xa != xb ? xa < xb : a < b;
    });
    mend_order(rows, row);
    rows.first_span.push_back(static_cast<int>(rows.spans.size()));
    for (std::size_t i = 0; i + 1 < row.size(); i += 2) {
      Crossing &a = rows.crossings[row[i]], &b = rows.crossings[row[i + 1]];
      a.span = b.span = static_cast<int>(rows.spans.size());
      rows.spans.push_back({a.row, std::min(a.x, b.x), std::max(a.x, b.x), row[i], row[i + 1]});
    }
  }
  rows.first_span.push_back(static_cast<int>(rows.spans.size()));
}

}  // namespace

Rows make_rows(const geometry::Polygons& area, double angle_rad, double spacing_mm) {
  Rows rows;
  rows.angle_rad = angle_rad;
  const geometry::Affine turn = geometry::rotation(-angle_rad);
  for (const geometry::Polygon& polygon : area) {
    add_ring(rows, polygon.outer, turn);
    for (const Ring& hole : polygon.holes) add_ring(rows, hole, turn);
  }
  geometry::Box box;
  for (const Ring& ring : rows.rings)
    for (Point p : ring) box.add(p);
  rows.first_span.push_back(0);
  if (box.empty() || !(box.height() > 0)) return rows;
  rows.first_span.clear();
  const int n = std::max(2, static_cast<int>(std::ceil(box.height() / spacing_mm)));
  rows.spacing_mm = box.height() / n;
  rows.first_mm = box.y0 + rows.spacing_mm;
  rows.n_rows = n - 1;
  for (std::size_t r = 0; r < rows.rings.size(); ++r) cross_ring(rows, static_cast<int>(r));
  pair_up(rows);
  return rows;
}

geometry::Polyline chain(const Rows& rows, int c) {
  const Crossing& from = rows.crossings[c];
  const Crossing& to = rows.crossings[from.next];
  const Ring& ring = rows.rings[from.ring];
  const int n = static_cast<int>(ring.size());
  geometry::Polyline line{{from.x, rows.y(from.row)}};
  // on one edge the ring's order decides: a chain that runs all the way round comes back behind
  const bool around =
      from.edge == to.edge && (from.rising ? to.row <= from.row : to.row >= from.row);
  int steps = (to.edge - from.edge + n) % n;
  if (around) steps = n;
  for (int i = 1; i <= steps; ++i) line.push_back(ring[(from.edge + i) % n]);
  line.push_back({to.x, rows.y(to.row)});
  return line;
}

}  // namespace buckram::digitise
