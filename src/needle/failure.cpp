#include "needle/failure.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace buckram::needle {
namespace {

constexpr int kDirections = 48;
// Below this a penetration adds nothing that could be told apart from nothing.
constexpr double kNegligible = 1e-11;

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

double largest_variance(double xx, double xy, double yy) {
  const double half = (xx - yy) / 2;
  return (xx + yy) / 2 + std::sqrt(half * half + xy * xy);
}

double square(double x) {
  return x * x;
}

double hook_strike(const Push& push, const Blade& blade, const Mechanics& m) {
  const double from = m.hook_clearance_mm / m.hook_gain, to = blade.hole_clearance_mm;
  if (from >= to) return 0;
  const double s = std::sqrt(push.yy);
  return std::max(
      0.0, base::normal_cdf((to - push.mean.y) / s) - base::normal_cdf((from - push.mean.y) / s));
}

double bending(const Push& push, const Blade& blade, const Mechanics& m, double strength) {
  const double aside = geometry::norm(push.mean);
  const double moment = push.force_n * aside + push.side_n * blade.reach_mm;
  const double stress = moment / blade.section_mm3 + push.force_n / blade.area_mm2;
  if (stress <= 0) return 0;
  return base::normal_cdf(std::log(stress / (m.steel_mpa * strength)) / m.steel_log_sd);
}

}  // namespace

double outside_disc_bound(geometry::Point mean, double xx, double xy, double yy, double r) {
  const double clear = r - geometry::norm(mean);
  if (clear <= 0) return 1;
  return std::exp(-square(clear) / (2 * largest_variance(xx, xy, yy)));
}

double outside_disc(geometry::Point mean, double xx, double xy, double yy, double r) {
  // Cholesky factor of the covariance: X = mean + rho L u.
  const double l11 = std::sqrt(xx);
  const double l21 = l11 > 0 ? xy / l11 : 0;
  const double l22 = std::sqrt(std::max(0.0, yy - l21 * l21));
  const double gap = r * r - geometry::dot(mean, mean);
  double sum = 0;
  for (const Direction& d : directions()) {
    const geometry::Point step{l11 * d.c, l21 * d.c + l22 * d.s};
    const double a = geometry::dot(step, step), b = geometry::dot(mean, step);
    const double root2 = b * b + a * gap;
    if (root2 < 0) {  // the mean lies outside and this way never meets the disc
      sum += 1;
      continue;
    }
    const double root = std::sqrt(root2);
    // rho where the ray leaves the disc, in the form that does not cancel.
    const double leaves = b > 0 ? gap / (b + root) : (root - b) / a;
    if (gap >= 0) {
      sum += std::exp(-square(leaves) / 2);
    } else if (b >= 0) {
      sum += 1;  // it points away
    } else {
      const double enters = -gap / (root - b);
      sum += 1 - std::exp(-square(enters) / 2) + std::exp(-square(leaves) / 2);
    }
  }
  return std::min(1.0, sum / kDirections);
}

Failure failure_at(const Push& push, const Blade& blade, const Mechanics& m, const CapDraw& draw) {
  Failure failure;
  const geometry::Point at = push.mean + draw.alignment;
  const double r = blade.hole_clearance_mm;
  if (outside_disc_bound(at, push.xx, push.xy, push.yy, r) > kNegligible) {
    failure.by_mode[0] = blade.strike_q * outside_disc(at, push.xx, push.xy, push.yy, r);
  }
  failure.by_mode[1] = m.hook_q * hook_strike(push, blade, m);
  failure.by_mode[2] = m.bend_q * bending(push, blade, m, draw.strength);
  failure.by_mode[3] =
      m.buckle_q *
      base::normal_cdf(std::log(std::max(push.force_n, 1e-9) / push.critical_n) / m.buckle_log_sd);
  double none = 1;
  for (const double p : failure.by_mode) none *= 1 - p;
  failure.any = 1 - none;
  if (failure.any < 1e-8) {  // where 1 - prod loses its digits
    failure.any = failure.by_mode[0] + failure.by_mode[1] + failure.by_mode[2] + failure.by_mode[3];
  }
  return failure;
}

}  // namespace buckram::needle
