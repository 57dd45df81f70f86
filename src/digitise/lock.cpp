#include "digitise/lock.h"

#include "base/base.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace buckram::digitise {

using geometry::Point;
using geometry::Polyline;

namespace {

// Out, across and back: legs of `step`, the base 7/8 of it but not under the least.
Polyline triangle(Point at, double direction_rad, double step_mm, double least_mm) {
  const double base = std::max(least_mm, step_mm * 0.875);
  const double half = std::asin(std::min(1.0, base / 2 / step_mm));
  const auto leg = [&](double turn) {
    const double a = direction_rad + turn;
    return at + Point{std::cos(a), std::sin(a)} * step_mm;
  };
  return {at, leg(half), leg(-half), at};
}

bool fits(const Polyline& lock, const geometry::Polygons& inside) {
  return geometry::contains(inside, lock[1]) && geometry::contains(inside, lock[2]) &&
         geometry::inside(lock[1], lock[2], inside);
}

}  // namespace

Polyline lock_points(Point at, Point along, double step_mm, const geometry::Polygons& inside) {
  constexpr double kLeastMm = 0.7, kMostMm = 1.0, kTinyMm = 0.3;
  constexpr int kTurns = 24;  // of 15 degrees
  const double step = std::clamp(step_mm, kLeastMm, kMostMm);
  const double straight = along == Point{} ? 0 : std::atan2(along.y, along.x);
  for (const double size : std::array{step, kLeastMm, 0.55, 0.4, kTinyMm}) {
    const double least = std::min(size, kLeastMm);
    for (int i = 0; i < kTurns; ++i) {
      const int turn = i % 2 == 0 ? i / 2 : -(i + 1) / 2;  // nearest directions first
      Polyline lock = triangle(at, straight + turn * base::radians(15), size, least);
      if (fits(lock, inside)) return lock;
    }
  }
  return {};
}

}  // namespace buckram::digitise
