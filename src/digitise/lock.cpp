#include "digitise/lock.h"

#include "base/base.h"

#include <algorithm>

namespace buckram::digitise {
namespace {

using geometry::Point;
using geometry::Polygons;
using geometry::Polyline;

// Out along `d`, across, and back: an isosceles triangle, so all three stitches are near `size`.
Polyline triangle(Point at, Point d, double size) {
  const Point a = at + d * size;
  const Point b = a - d * (size / 2) + geometry::left_of(d) * (size * 0.85);
  return {at, a, b, at};
}

bool fits(const Polyline& lock, const Polygons& inside) {
  for (std::size_t i = 1; i < lock.size(); ++i) {
    if (!geometry::inside(lock[i - 1], lock[i], inside)) return false;
  }
  return true;
}

// The first of 24 directions, nearest to `along` first, in which a lock of this size fits.
Polyline first_fit(Point at, Point along, double size, const Polygons& inside) {
  constexpr int kDirections = 24;
  for (int k = 0; k < kDirections; ++k) {
    const int turn = (k + 1) / 2 * (k % 2 == 0 ? 1 : -1);
    const geometry::Affine map = geometry::rotation(turn * 2 * base::kPi / kDirections);
    Polyline lock = triangle(at, map(along), size);
    if (fits(lock, inside)) return lock;
  }
  return {};
}

}  // namespace

Polyline lock_points(Point at, Point along, double step_mm, const Polygons& inside) {
  Point d = geometry::unit(along);
  if (geometry::norm(d) == 0) d = {1, 0};
  const double wanted = std::clamp(step_mm, 0.7, 1.0);
  for (const double size : {wanted, 0.7, 0.55, 0.42, 0.3}) {
    if (size > wanted) continue;
    Polyline lock = first_fit(at, d, size, inside);
    if (!lock.empty()) return lock;
  }
  // A tip too thin for any: to and fro along the object itself.
  return {at, at + d * 0.4, at + d * 0.8, at};
}

}  // namespace buckram::digitise
