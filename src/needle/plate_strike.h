// Chance that the point lands outside the hole: definitions, for the units that instantiate them.
#pragma once

#include "needle/failure.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>

namespace buckram::needle {
namespace plate {

// Directions are taken in even numbers: opposite ones share a root.
inline constexpr int kCounts[] = {8, 12, 16, 24, 32, 48, 64, 96, 128};
inline constexpr int kMostDirections = 128;

struct Direction {
  double c, s;
};
// Half a turn of kCounts[count] directions all round.
using HalfTurn = std::array<Direction, kMostDirections / 2>;
const HalfTurn& half_turn(std::size_t count);

template <class T>
T square(T x) {
  return x * x;
}

template <class T>
T largest_variance(const Normal2<T>& at) {
  return (at.xx + at.yy) / 2 + base::root(square((at.xx - at.yy) / 2) + square(at.xy));
}

// The whitened plane seen from the mean: X = mean + rho L u, L the covariance's Cholesky factor.
template <class T>
struct Rays {
  T mean_x, mean_y;
  T l11, l21, l22;
  T gap;  // r^2 - |mean|^2: negative where the mean lies outside
};

template <class T>
Rays<T> rays_of(const Normal2<T>& at, double r) {
  Rays<T> rays;
  rays.mean_x = at.mean_x, rays.mean_y = at.mean_y;
  rays.l11 = base::root(base::larger(at.xx, T{} + 1e-12));
  rays.l21 = at.xy / rays.l11;
  rays.l22 = base::root(base::larger(at.yy - square(rays.l21), T{} + 1e-12));
  rays.gap = r * r - (square(at.mean_x) + square(at.mean_y));
  return rays;
}

// A line through the mean: a rho^2 + 2 b rho = gap at the disc's edge.
template <class T>
struct Line {
  T a, b;
};
template <class T>
Line<T> line_of(const Rays<T>& rays, const Direction& d) {
  const T x = rays.l11 * d.c, y = rays.l21 * d.c + rays.l22 * d.s;
  return {square(x) + square(y), rays.mean_x * x + rays.mean_y * y};
}

// What bounds the chance: the largest variance and how far the mean is inside the edge.
template <class T>
struct Bound {
  T large, clear;
  T exponent() const { return square(base::larger(T{}, clear)) / (2 * large); }
};
template <class T>
Bound<T> bound_of(const Normal2<T>& at, double r) {
  return {largest_variance(at), r - base::root(square(at.mean_x) + square(at.mean_y))};
}

// How many directions are wanted, as an index into the counts. Fitted to 28,000 normals from a disc
// much wider than they are, as good as a straight edge, to one that they fill: within 0.25 % on 99
// of 100, 0.8 % at most.
// - About the nearest edge, rho away, the exponent of a ray at the angle t grows by k t^2 / 2,
//   k = rho^2 (1 - rho / R), R the edge's radius of curvature in the whitened plane; there
//   rho / R is (1 - |mean| / r) small / large along the longest axis and less elsewhere.
// - Rays that run along the edge bend the exponent sharply, the more the nearer it is. In a disc
//   that is not wide the bend is less sharp: the rays' root vanishes only at the complex angle i y
//   from there, coth 2 y = T / (2 sqrt D), T and D trace and determinant of L' (mean mean' + gap)
//   L, and the rule's error falls as e^(-n y).
template <class T>
std::size_t directions_wanted(const Normal2<T>& at, const Rays<T>& rays, double r,
                              const Bound<T>& bound, const Care& care) {
  constexpr double kNear = 24, kBends = 8, kMostForBends = 96;
  const T small = base::larger(at.xx + at.yy - bound.large, T{} + 1e-12);
  const T clear2 = square(bound.clear), per_large = 1 / bound.large;
  const T rho2 = base::smaller(clear2 / small, rays.gap * per_large);
  const T peak = rho2 * (1 - bound.clear / r * small * per_large);
  const T wanted = 2 * base::kPi / care.widths * base::root(base::larger(T{}, peak));
  const T near = kNear / base::root(base::root(clear2 * per_large));
  const T trace = at.xx * square(at.mean_x) + 2 * at.xy * at.mean_x * at.mean_y +
                  at.yy * square(at.mean_y) + rays.gap * (at.xx + at.yy);
  const T determinant = bound.large * small * rays.gap * (r * r);
  const T bends = kBends * base::root(base::larger(T{}, square(trace) / determinant - 4));
  const T close = base::smaller(T{} + kMostForBends, base::smaller(near, bends));
  const double n =
      std::max<double>(care.least_directions, base::largest_of(base::larger(wanted, close)));
  std::size_t count = 0;
  while (count + 1 < std::size(kCounts) && kCounts[count] < n) ++count;
  return count;
}

// Opposite rays share a root.
template <class T>
T mean_over_rays(const Rays<T>& rays, std::size_t count) {
  const HalfTurn& directions = half_turn(count);
  const int n = kCounts[count];
  T sum{};
  for (int k = 0; k < n / 2; ++k) {
    const Line<T> line = line_of(rays, directions[static_cast<std::size_t>(k)]);
    const T root = base::root(square(line.b) + line.a * rays.gap);
    const T per_a2 = -0.5 / square(line.a);
    sum += base::exp_of(square(root - line.b) * per_a2);
    sum += base::exp_of(square(root + line.b) * per_a2);
  }
  return sum / n;
}

// A mean that lies outside: its ray is outside until it enters the disc and again after it leaves.
// A mean inside (the other of a pair) has only the leaving.
template <class T>
T mean_from_outside(const Rays<T>& rays) {
  T sum{};
  for (const Direction& half : half_turn(std::size(kCounts) - 1)) {
    for (const double turn : {1.0, -1.0}) {
      const Line<T> line = line_of(rays, {turn * half.c, turn * half.s});
      const T root2 = square(line.b) + line.a * rays.gap;
      const T root = base::root(base::larger(root2, T{}));
      const T leaves = base::exp_of(-square((root - line.b) / line.a) / 2);
      const T enters = base::exp_of(-square((root + line.b) / line.a) / 2);
      const T missed = T{} + 1;
      const T meets = base::select(line.b < 0, 1 - enters + leaves, missed);
      sum += base::select(rays.gap < 0, base::select(root2 > 0, meets, missed), leaves);
    }
  }
  return sum / kMostDirections;
}

template <class T>
T outside_bounded(const Normal2<T>& at, double r, const Bound<T>& bound, const Care& care) {
  const Rays<T> rays = rays_of(at, r);
  const T chance = base::any(rays.gap < 0)
                       ? mean_from_outside(rays)
                       : mean_over_rays(rays, directions_wanted(at, rays, r, bound, care));
  return base::smaller(T{} + 1, chance);
}

// The frame's swing is a sine of unknown phase, which reaches no farther than its amplitude A,
// where a normal of the same variance would. What stands for it, by how far it reaches over the
// distance in which the chance falls:
// - up to 1 the normal: within 0.7 %;
// - up to 3 two phases at +-B and a normal for what is left of the variance, B^4 = 3/16 A^4: the
//   sine's moments up to the fifth, and its sixth cumulant within 4 %; together within 1 %;
// - beyond, the phases of the Gauss-Chebyshev rule: four (exact for polynomials to the seventh
//   order, within 0.3 %) up to 5, then eight (fifteenth).
struct Phases {
  std::array<double, 8> at;
  int n;
  double left;  // variance that stays normal, in A^2
};
inline constexpr Phases kTwo{{0.6580370064762462, -0.6580370064762462}, 2, 0.0669872981077807};
inline constexpr Phases kFour{{0.9238795325112867, 0.3826834323650898,  // cos of pi/8, 3 pi/8
                               -0.3826834323650898, -0.9238795325112867},
                              4,
                              0};
inline constexpr Phases kEight{
    {0.9807852804032304, 0.8314696123025452,  // cos of pi/16, 3 pi/16 ...
     0.5555702330196022, 0.1950903220161283, -0.1950903220161283, -0.5555702330196022,
     -0.8314696123025452, -0.9807852804032304},
    8,
    0};

// Parts under a thousandth of `beside` are left out.
template <class T>
T mean_over_phases(const Normal2<T>& all, const PushOf<T>& push, double r, const Phases& phases,
                   T beside, const Care& care) {
  Normal2<T> at = all;
  const double off = 0.5 - phases.left;
  at.xx -= off * square(push.swing_x), at.yy -= off * square(push.swing_y);
  at.xy -= off * push.swing_x * push.swing_y;
  const T large = largest_variance(at);
  // towards the nearest edge first
  const T side =
      base::select(all.mean_x * push.swing_x + all.mean_y * push.swing_y < 0, T{} - 1, T{} + 1);
  const T x = side * push.swing_x, y = side * push.swing_y;
  T sum{};
  for (int k = 0; k < phases.n; ++k) {
    const double phase = phases.at[static_cast<std::size_t>(k)];
    at.mean_x = all.mean_x + phase * x, at.mean_y = all.mean_y + phase * y;
    const Bound<T> bound{large, r - base::root(square(at.mean_x) + square(at.mean_y))};
    if (base::any(base::exp_of(-bound.exponent()) > 3e-3 * (beside + sum))) {
      sum += outside_bounded(at, r, bound, care);
    }
  }
  return sum / phases.n;
}

template <class T>
T outside_with_swing(const Normal2<T>& all, const PushOf<T>& push, double r, const Bound<T>& bound,
                     T beside, const Care& care) {
  constexpr double kLittle = 1, kMuch = 3, kVeryMuch = 5;
  if (!care.swings) return outside_bounded(all, r, bound, care);
  const T amplitude2 = square(push.swing_x) + square(push.swing_y);
  const T variance = base::larger(bound.large - amplitude2 / 2, T{} + 1e-12);
  const T steep = base::larger(bound.clear, base::root(variance));
  const T reach2 = square(steep / variance) * amplitude2;
  if (!base::any(reach2 > kLittle * kLittle)) return outside_bounded(all, r, bound, care);
  const Phases& phases = !base::any(reach2 > kMuch * kMuch)           ? kTwo
                         : !base::any(reach2 > kVeryMuch * kVeryMuch) ? kFour
                                                                      : kEight;
  return mean_over_phases(all, push, r, phases, beside, care);
}

}  // namespace plate

template <class T>
T outside_disc_exponent(const Normal2<T>& at, double r) {
  return plate::bound_of(at, r).exponent();
}

template <class T>
T outside_disc(const Normal2<T>& at, double r, const Care& care) {
  return plate::outside_bounded(at, r, plate::bound_of(at, r), care);
}

}  // namespace buckram::needle
