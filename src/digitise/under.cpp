#include "digitise/under.h"

#include "base/base.h"
#include "digitise/fill_travel.h"

#include <algorithm>

namespace buckram::digitise {

using geometry::Point;
using geometry::Polyline;

namespace {

constexpr double kNoneBelowMm2 = 4, kEdgeOnlyBelowMm2 = 12;
constexpr double kShortestRingMm = 3, kShortestRowMm = 1.5;
constexpr double kSmoothMm = 0.05;  // detail of the outline that an edge run need not follow

UnderKind usual_kind(double area_mm2) {
  if (area_mm2 < kNoneBelowMm2) return UnderKind::none;
  return area_mm2 < kEdgeOnlyBelowMm2 ? UnderKind::edge : UnderKind::lattice;
}

void add_edge_runs(const geometry::Polygons& inner, std::vector<UnderLine>& lines) {
  const auto add = [&lines](const geometry::Ring& ring) {
    Polyline closed = ring;
    closed.push_back(ring.front());
    if (geometry::length(closed) >= kShortestRingMm) lines.push_back({ring, true});
  };
  for (const geometry::Polygon& polygon : inner) {
    add(polygon.outer);
    for (const geometry::Ring& hole : polygon.holes) add(hole);
  }
}

void add_lattice(const geometry::Polygons& inner, double angle_rad, const Recipe& recipe,
                 std::vector<UnderLine>& lines) {
  geometry::Box box;
  const geometry::Affine turn = geometry::rotation(-angle_rad);
  for (const geometry::Polygon& polygon : inner)
    for (Point p : polygon.outer) box.add(turn(p));
  if (box.empty()) return;
  const double c = std::cos(angle_rad), s = std::sin(angle_rad);
  const double phase = box.y0 + recipe.under_row_mm / 2;
  for (const geometry::Row& row : geometry::hatch(inner, angle_rad, recipe.under_row_mm, phase))
    for (const geometry::Span& span : row.spans)
      if (span.to - span.from >= kShortestRowMm)
        lines.push_back({{geometry::row_point(c, s, span.from, row.offset),
                          geometry::row_point(c, s, span.to, row.offset)},
                         false});
}

std::size_t nearest_point(const Polyline& line, Point p) {
  std::size_t best = 0;
  for (std::size_t i = 1; i < line.size(); ++i)
    if (geometry::distance(line[i], p) < geometry::distance(line[best], p)) best = i;
  return best;
}

}  // namespace

std::vector<UnderLine> under_lines(const Fill& fill, const Recipe& recipe) {
  std::vector<UnderLine> lines;
  const UnderKind kind = recipe.under.value_or(usual_kind(geometry::area(fill.area)));
  if (kind == UnderKind::none) return lines;
  const geometry::Polygons edge =
      geometry::simplify(geometry::offset(fill.area, -recipe.under_inset_mm), kSmoothMm);
  add_edge_runs(edge, lines);
  if (kind != UnderKind::lattice) return lines;
  constexpr double kInsideEdgeRunMm = 0.3;
  add_lattice(geometry::offset(edge, -kInsideEdgeRunMm), fill.angle_rad + base::kPi / 2, recipe,
              lines);
  return lines;
}

Polyline sewn_from(const UnderLine& line, Point from, const Recipe& recipe) {
  Polyline path = line.path;
  if (line.closed) {
    std::rotate(path.begin(), path.begin() + static_cast<std::ptrdiff_t>(nearest_point(path, from)),
                path.end());
    path.push_back(path.front());
  } else if (geometry::distance(path.back(), from) < geometry::distance(path.front(), from)) {
    std::reverse(path.begin(), path.end());
  }
  const double stitch = line.closed ? recipe.run_mm : recipe.under_stitch_mm;
  Polyline points = travel_stitches(path, stitch, recipe.shortest_mm);
  points.insert(points.begin(), path.front());
  return points;
}

}  // namespace buckram::digitise
