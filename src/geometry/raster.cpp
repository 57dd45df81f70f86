#include "geometry/raster.h"

#include "base/base.h"
#include "geometry/hatch.h"

#include <algorithm>
#include <cmath>

namespace buckram::geometry {

namespace {

constexpr double kMostCells = 1e9;

// From the plane to cells: (0, 0) is the corner of cell (0, 0), one unit is one cell.
Affine to_cells(const Raster& raster) {
  const double k = 1 / raster.pitch_mm;
  const Affine turn_back = rotation(-raster.turn_rad);
  const Affine to_origin{1, 0, 0, 1, -raster.origin.x, -raster.origin.y};
  return compose(Affine{k, 0, 0, k, 0, 0}, compose(turn_back, to_origin));
}

// Cells of row j whose middles lie in [from, to).
void fill(Raster& raster, int j, double from, double to, std::uint8_t value) {
  const double last = raster.width;
  const int i0 = static_cast<int>(std::clamp(std::ceil(from - 0.5), 0.0, last));
  const int i1 = static_cast<int>(std::clamp(std::ceil(to - 0.5), 0.0, last));
  for (int i = i0; i < i1; ++i) raster.at(i, j) = value;
}

struct Reach {
  double from = std::numeric_limits<double>::infinity();
  double to = -std::numeric_limits<double>::infinity();
  void add(double x) { from = std::min(from, x), to = std::max(to, x); }
};

void add_disc(Point middle, double r, double y, Reach& reach) {
  const double up = y - middle.y;
  if (std::abs(up) > r) return;
  const double half = std::sqrt(r * r - up * up);
  reach.add(middle.x - half);
  reach.add(middle.x + half);
}

void add_edge(Point a, Point b, double y, Reach& reach) {
  if (a.y > b.y) std::swap(a, b);
  if (a.y == b.y || y < a.y || y > b.y) return;
  reach.add(a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x));
}

}  // namespace

Point Raster::middle(int i, int j) const {
  const double x = (i + 0.5) * pitch_mm, y = (j + 0.5) * pitch_mm;
  const double c = std::cos(turn_rad), s = std::sin(turn_rad);
  return origin + Point{c * x - s * y, s * x + c * y};
}

Raster make_raster(const Box& box, double pitch_mm, double turn_rad) {
  BUCKRAM_ASSERT(pitch_mm > 0);
  Raster raster;
  raster.pitch_mm = pitch_mm;
  raster.turn_rad = turn_rad;
  if (box.empty()) return raster;
  const Affine back = rotation(-turn_rad);
  Box turned;
  for (const Point corner : {Point{box.x0, box.y0}, Point{box.x1, box.y0}, Point{box.x1, box.y1},
                             Point{box.x0, box.y1}}) {
    turned.add(back(corner));
  }
  // one cell of margin, so that outlines on the box's edge fall inside
  raster.origin = rotation(turn_rad)({turned.x0 - pitch_mm, turned.y0 - pitch_mm});
  const double width = std::ceil(turned.width() / pitch_mm) + 2;
  const double height = std::ceil(turned.height() / pitch_mm) + 2;
  BUCKRAM_ASSERT(width * height <= kMostCells);
  raster.width = static_cast<int>(width);
  raster.height = static_cast<int>(height);
  raster.cells.assign(static_cast<std::size_t>(raster.width) * raster.height, 0);
  return raster;
}

void paint(Raster& raster, const Polygons& polygons, std::uint8_t value) {
  const Affine map = to_cells(raster);
  for (const Row& row : hatch(transformed(polygons, map), 0, 1, 0.5)) {
    const double j = std::round(row.offset - 0.5);
    if (j < 0 || j >= raster.height) continue;
    for (const Span& span : row.spans) {
      fill(raster, static_cast<int>(j), span.from, span.to, value);
    }
  }
}

void paint_capsule(Raster& raster, Point a, Point b, double width_mm, std::uint8_t value) {
  const Affine map = to_cells(raster);
  const Point p = map(a), q = map(b);
  const double r = width_mm / 2 / raster.pitch_mm;
  const Point side = left_of(unit(q - p)) * r;
  const double last = raster.height;
  const int j0 = static_cast<int>(std::clamp(std::ceil(std::min(p.y, q.y) - r - 0.5), 0.0, last));
  const int j1 = static_cast<int>(std::clamp(std::floor(std::max(p.y, q.y) + r + 0.5), 0.0, last));
  for (int j = j0; j < j1; ++j) {
    // A capsule is convex: its row is one stretch, bounded by its discs and its long edges.
    Reach reach;
    add_disc(p, r, j + 0.5, reach);
    add_disc(q, r, j + 0.5, reach);
    add_edge(p + side, q + side, j + 0.5, reach);
    add_edge(p - side, q - side, j + 0.5, reach);
    fill(raster, j, reach.from, reach.to, value);
  }
}

}  // namespace buckram::geometry
