#include "needle/failure.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace buckram::needle {
namespace {

using base::Pair;

constexpr int kDirections = 128;

struct Direction {
  double c, s;
};
const std::array<Direction, kDirections>& directions() {
  static const std::array<Direction, kDirections> all = [] {
    std::array<Direction, kDirections> made{};
    for (int k = 0; k < kDirections; ++k) {
      const double a = 2 * base::kPi * (k + 0.5) / kDirections;
      made[static_cast<std::size_t>(k)] = {std::cos(a), std::sin(a)};
    }
    return made;
  }();
  return all;
}

template <class T>
T square(T x) {
  return x * x;
}

template <class T>
T largest_variance(const Normal2<T>& at) {
  return (at.xx + at.yy) / 2 + base::root(square((at.xx - at.yy) / 2) + square(at.xy));
}

// Each lane by a function of one number.
template <class F>
double each(double x, F of) {
  return of(x);
}
template <class F>
Pair each(Pair x, F of) {
  return Pair{of(x[0]), of(x[1])};
}
double largest(double x) {
  return x;
}
double largest(Pair x) {
  return std::max(x[0], x[1]);
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

// How many directions are wanted: the peak about the nearest edge is 1 / (beta aspect) wide. Close
// to the edge the rays bend sharply and half of all are taken.
template <class T>
int directions_wanted(const Normal2<T>& at, double r, const Care& care) {
  const T large = largest_variance(at);
  const T small = base::larger(at.xx + at.yy - large, T{} + 1e-12);
  const T clear = r - base::root(square(at.mean_x) + square(at.mean_y));
  const T beta2 = square(clear) / large;
  const T wanted = 2 * base::kPi / care.widths * base::root(beta2 * large / small);
  const double most = largest(beta2 < 1 ? T{} + kDirections / 2 : wanted);
  int n = care.least_directions;
  while (n < kDirections && n < most) n *= 2;
  return n;
}

// Opposite rays share a root. Directions that add under 1e-4 of the largest term are left out.
template <class T>
T mean_over_rays(const Rays<T>& rays, int n) {
  constexpr double kFaint = 9.2;  // -ln 1e-4
  std::array<T, kDirections> half_square;
  T least = T{} + 1e300;
  for (int k = 0; k < n / 2; ++k) {
    const Line<T> line =
        line_of(rays, directions()[static_cast<std::size_t>(k * (kDirections / n))]);
    const T root = base::root(square(line.b) + line.a * rays.gap);
    const T per_a2 = 0.5 / square(line.a);
    const T ahead = square(root - line.b) * per_a2, behind = square(root + line.b) * per_a2;
    half_square[static_cast<std::size_t>(2 * k)] = ahead;
    half_square[static_cast<std::size_t>(2 * k + 1)] = behind;
    least = base::smaller(least, base::smaller(ahead, behind));
  }
  T sum{};
  for (int k = 0; k < n; ++k) {
    const T here = half_square[static_cast<std::size_t>(k)];
    if (base::any(here < least + kFaint)) sum += base::exp_of(-here);
  }
  return sum / n;
}

// A mean that lies outside: its ray is outside until it enters the disc and again after it leaves.
// A mean inside (the other of a pair) has only the leaving.
template <class T>
T mean_from_outside(const Rays<T>& rays) {
  T sum{};
  for (const Direction& d : directions()) {
    const Line<T> line = line_of(rays, d);
    const T root2 = square(line.b) + line.a * rays.gap;
    const T root = base::root(base::larger(root2, T{}));
    const T leaves = base::exp_of(-square((root - line.b) / line.a) / 2);
    const T enters = base::exp_of(-square((root + line.b) / line.a) / 2);
    const T missed = T{} + 1;
    const T met = root2 > 0 ? (line.b < 0 ? 1 - enters + leaves : missed) : missed;
    sum += rays.gap < 0 ? met : leaves;
  }
  return sum / kDirections;
}

// The part of the push towards the hook (+y), beyond the hook's clearance but still in the hole,
// where it can be more than a thousandth of `beside`.
template <class T>
T hook_strike(T mean_y, T variance_y, const Blade& blade, const Mechanics& m, T beside) {
  const double from = m.hook_clearance_mm / m.hook_gain, to = blade.hole_clearance_mm;
  if (from >= to) return T{};
  const T s = base::root(variance_y);
  const T z = (from - mean_y) / s;
  if (!base::any(base::exp_of(-0.5 * square(base::larger(z, T{}))) > 1e-3 * beside)) return T{};
  return base::larger(T{}, base::upper_tail(z) - base::upper_tail((to - mean_y) / s));
}

template <class T>
T bending(const PushOf<T>& push, const Blade& blade, const Mechanics& m, T strength) {
  const T aside = base::root(square(push.mean_x) + square(push.mean_y));
  const T moment = push.force_n * aside + push.side_n * blade.reach_mm;
  const T stress = moment / blade.section_mm3 + push.force_n / blade.area_mm2;
  const T share = stress / (m.steel_mpa * strength);
  if (!base::any(share > blade.bend_from)) return T{};
  return each(share, [&](double x) { return base::normal_cdf(std::log(x) / m.steel_log_sd); });
}

template <class T>
T buckling(const PushOf<T>& push, const Blade& blade, const Mechanics& m) {
  const T share = push.force_n / push.critical_n;
  if (!base::any(share > blade.buckle_from)) return T{};
  return each(share, [&](double x) { return base::normal_cdf(std::log(x) / m.buckle_log_sd); });
}

// A common penetration's chance outside the disc. The frame's swing is a sine of unknown phase: no
// more than its amplitude, where a normal of the same variance would reach farther. Where that
// matters it is taken at the four phases of the Gauss-Chebyshev rule (exact for polynomials to the
// seventh order), the rest of the push being normal; parts under a thousandth of `beside` are left.
template <class T>
T outside_with_swing(const Normal2<T>& all, const PushOf<T>& push, double r, T beside,
                     const Care& care) {
  constexpr double kPhases[] = {0.9238795325112867, 0.3826834323650898,  // cos of pi/8, 3 pi/8
                                -0.3826834323650898, -0.9238795325112867};
  Normal2<T> at = all;
  at.xx -= square(push.swing_x) / 2, at.yy -= square(push.swing_y) / 2;
  at.xy -= push.swing_x * push.swing_y / 2;
  const T amplitude = base::root(square(push.swing_x) + square(push.swing_y));
  const T clear = base::larger(T{}, r - base::root(square(all.mean_x) + square(all.mean_y)));
  // alike to a hundredth while the amplitude is under half the distance that the chance falls over
  const T variance = largest_variance(at);
  const T steep = base::larger(clear, base::root(variance));
  if (!base::any(steep * amplitude > 0.5 * variance)) return outside_disc(all, r, care);
  T sum{};
  for (const double phase : kPhases) {
    at.mean_x = all.mean_x + phase * push.swing_x, at.mean_y = all.mean_y + phase * push.swing_y;
    const T bound = base::exp_of(-outside_disc_exponent(at, r));
    if (base::any(bound > 3e-3 * beside)) sum += outside_disc(at, r, care);
  }
  return sum / 4;
}

}  // namespace

template <class T>
T outside_disc_exponent(const Normal2<T>& at, double r) {
  const T clear = base::larger(T{}, r - base::root(square(at.mean_x) + square(at.mean_y)));
  return square(clear) / (2 * largest_variance(at));
}

template <class T>
T outside_disc(const Normal2<T>& at, double r, const Care& care) {
  const Rays<T> rays = rays_of(at, r);
  const T chance = base::any(rays.gap < 0) ? mean_from_outside(rays)
                                           : mean_over_rays(rays, directions_wanted(at, r, care));
  return base::smaller(T{} + 1, chance);
}

template <class T>
FailureOf<T> failure_at(const PushOf<T>& push, const Blade& blade, const Mechanics& m,
                        const CapDrawOf<T>& draw, const Care& care) {
  FailureOf<T> failure;
  const double r = blade.hole_clearance_mm, e = m.hit_share;
  const Normal2<T> common{push.mean_x + draw.alignment_x, push.mean_y + draw.alignment_y,
                          push.xx + draw.alignment_mm2, push.xy, push.yy + draw.alignment_mm2};
  Normal2<T> hit = common;
  hit.xx += push.hit_mm2, hit.yy += push.hit_mm2;
  // Most of the danger is in the few penetrations that meet a yarn squarely; the common ones are
  // looked at only where they could add a thousandth to it.
  const T common_bound = base::exp_of(-outside_disc_exponent(common, r));
  const T hit_bound = e * base::exp_of(-outside_disc_exponent(hit, r));
  if (base::any(blade.strike_q * base::larger(hit_bound, common_bound) > care.ignore)) {
    T strike = e * outside_disc(hit, r, care);
    if (base::any(common_bound > 3e-3 * strike)) {
      strike += (1 - e) * outside_with_swing(common, push, r, strike, care);
    }
    failure.by_mode[0] = blade.strike_q * strike;
  }
  const T beside = failure.by_mode[0] / m.hook_q;
  failure.by_mode[1] = m.hook_q * (e * hook_strike(push.mean_y, hit.yy, blade, m, beside / e) +
                                   (1 - e) * hook_strike(push.mean_y, push.yy, blade, m, beside));
  failure.by_mode[2] = m.bend_q * bending(push, blade, m, draw.strength);
  failure.by_mode[3] = m.buckle_q * buckling(push, blade, m);
  for (const T p : failure.by_mode) failure.any += p * (1 - failure.any);
  return failure;
}

template double outside_disc(const Normal2<double>&, double, const Care&);
template Pair outside_disc(const Normal2<Pair>&, double, const Care&);
template double outside_disc_exponent(const Normal2<double>&, double);
template Pair outside_disc_exponent(const Normal2<Pair>&, double);
template Failure failure_at(const Push&, const Blade&, const Mechanics&, const CapDraw&,
                            const Care&);
template FailureOf<Pair> failure_at(const PushOf<Pair>&, const Blade&, const Mechanics&,
                                    const CapDrawOf<Pair>&, const Care&);

}  // namespace buckram::needle
