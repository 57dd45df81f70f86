#include "geometry/polygon.h"
#include "geometry/rings.h"

#include "base/base.h"

#include <algorithm>
#include <cmath>

namespace buckram::geometry {

namespace {

struct Stretch {
  std::size_t first, last;
};

// Marks what Douglas-Peucker keeps between the ends of a stretch. Distances are to the segment,
// not its line, so that a chain which turns back is not lost. Pending stretches wait on a stack
// of our own: depth does not depend on the input.
void mark_kept(std::span<const Point> points, Stretch whole, double tolerance,
               std::vector<char>& kept) {
  std::vector<Stretch> pending{whole};
  while (!pending.empty()) {
    const Stretch s = pending.back();
    pending.pop_back();
    double worst = tolerance * tolerance;
    std::size_t at = s.first;
    for (std::size_t i = s.first + 1; i < s.last; ++i) {
      const double d = squared_distance(points[i], points[s.first], points[s.last]);
      if (d > worst) worst = d, at = i;
    }
    if (at == s.first) continue;
    kept[at] = 1;
    pending.push_back({s.first, at});
    pending.push_back({at, s.last});
  }
}

std::vector<Point> chosen(std::span<const Point> points, const std::vector<char>& kept) {
  std::vector<Point> out;
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (kept[i]) out.push_back(points[i]);
  }
  return out;
}

bool lower_left(Point a, Point b) {
  return a.y != b.y ? a.y < b.y : a.x < b.x;
}

}  // namespace

Polyline simplify(const Polyline& polyline, double tolerance_mm) {
  if (polyline.size() < 3 || !(tolerance_mm >= 0)) return polyline;
  std::vector<char> kept(polyline.size(), 0);
  kept.front() = kept.back() = 1;
  mark_kept(polyline, {0, polyline.size() - 1}, tolerance_mm, kept);
  return chosen(polyline, kept);
}

Ring thinned(const Ring& ring, double tolerance_mm) {
  if (ring.size() < 4 || !(tolerance_mm >= 0)) return ring;
  Ring turned = ring;
  std::rotate(turned.begin(), std::min_element(turned.begin(), turned.end(), lower_left),
              turned.end());
  const Point start = turned.front();
  const auto farther = [start](Point a, Point b) {
    return dot(a - start, a - start) < dot(b - start, b - start);
  };
  const auto far = static_cast<std::size_t>(
      std::max_element(turned.begin(), turned.end(), farther) - turned.begin());
  turned.push_back(start);
  std::vector<char> kept(turned.size(), 0);
  kept[0] = kept[far] = 1;
  mark_kept(turned, {0, far}, tolerance_mm, kept);
  mark_kept(turned, {far, turned.size() - 1}, tolerance_mm, kept);
  return chosen(turned, kept);
}

Polygons simplify(const Polygons& polygons, double tolerance_mm) {
  std::vector<Ring> rings;
  for (const Polygon& polygon : polygons) {
    rings.push_back(thinned(polygon.outer, tolerance_mm));
    for (const Ring& hole : polygon.holes) rings.push_back(thinned(hole, tolerance_mm));
  }
  return wound_by(rings);
}

Polygons without_slivers(const Polygons& polygons, double width_mm, double least_area_mm2) {
  BUCKRAM_ASSERT(width_mm >= 0);
  Polygons kept = polygons;
  if (width_mm > 0) {
    // Opened with miters on the way back: the core's own corners give the original's corners
    // again, while the core has no corner where a thin part left it. Corners sharper than the
    // limit (23 degrees) are slivers themselves towards their tip.
    constexpr double kMiterLimit = 5, kArcToleranceMm = 0.002;
    const Polygons core = offset(polygons, -width_mm / 2, Join::round, kArcToleranceMm);
    const double regrow_mm = width_mm / 2 + kArcToleranceMm;
    kept = intersect(polygons, offset(core, regrow_mm, Join::miter, kArcToleranceMm, kMiterLimit));
  }
  std::erase_if(kept, [&](const Polygon& polygon) { return area(polygon) < least_area_mm2; });
  return kept;
}

}  // namespace buckram::geometry
