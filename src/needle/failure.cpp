#include "needle/failure.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace buckram::needle {
namespace {

constexpr int kDirections = 128;
constexpr double kFar = 7;  // standard deviations: Phi(-7) = 1.3e-12

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

// The whitened plane seen from the mean: X = mean + rho L u, L the covariance's Cholesky factor.
struct Rays {
  geometry::Point mean;
  double l11 = 0, l21 = 0, l22 = 0;
  double gap = 0;          // r^2 - |mean|^2: negative where the mean lies outside
  geometry::Point toward;  // the mean's direction, whitened
};

Rays rays_of(geometry::Point mean, double xx, double xy, double yy, double r) {
  Rays rays;
  rays.mean = mean;
  rays.l11 = std::sqrt(std::max(xx, 1e-12));
  rays.l21 = xy / rays.l11;
  rays.l22 = std::sqrt(std::max(1e-12, yy - rays.l21 * rays.l21));
  rays.gap = r * r - geometry::dot(mean, mean);
  const double u = mean.x / rays.l11;
  rays.toward = {u, (mean.y - rays.l21 * u) / rays.l22};
  return rays;
}

int direction_index(geometry::Point u) {
  const double turns = std::atan2(u.y, u.x) / (2 * base::kPi);
  return (static_cast<int>(std::floor(turns * kDirections)) + kDirections) % kDirections;
}

// Half the squared distance, in standard deviations, to the disc's edge along that direction.
double half_square(const Rays& rays, int direction) {
  const Direction& d = directions()[static_cast<std::size_t>(direction)];
  const geometry::Point step{rays.l11 * d.c, rays.l21 * d.c + rays.l22 * d.s};
  const double a = geometry::dot(step, step), b = geometry::dot(rays.mean, step);
  const double root = std::sqrt(b * b + a * rays.gap);
  const double rho = b > 0 ? rays.gap / (b + root) : (root - b) / a;  // the form that keeps digits
  return rho * rho / 2;
}

// Local minimum of the distance on the ring of every `stride`-th direction, downhill from `start`.
int nearest_direction(const Rays& rays, int start, int stride) {
  int at = start;
  double here = half_square(rays, at);
  for (const int way : {stride, kDirections - stride}) {
    for (int moved = 0; moved < kDirections; moved += stride) {
      const int next = (at + way) % kDirections;
      const double there = half_square(rays, next);
      if (there >= here) break;
      at = next, here = there;
    }
  }
  return at;
}

// Adds exp(-rho^2 / 2) to both sides of a minimum until terms fall under 1e-3 of the largest;
// directions already counted are passed over.
double sum_about(const Rays& rays, int middle, int stride, std::array<bool, kDirections>& counted) {
  constexpr double kFaint = 6.9;  // -ln 1e-3
  const double least = half_square(rays, middle);
  double sum = 0;
  for (const int way : {stride, kDirections - stride}) {
    for (int at = middle, k = 0; k < kDirections; k += stride, at = (at + way) % kDirections) {
      if (counted[static_cast<std::size_t>(at)]) {
        if (k == 0) continue;
        break;
      }
      const double here = half_square(rays, at);
      if (here - least > kFaint) break;
      counted[static_cast<std::size_t>(at)] = true;
      sum += std::exp(-here);
    }
  }
  return sum;
}

// How many directions may be left out: the peak about the nearest edge is 1 / (beta aspect) wide,
// and the trapezoid rule with a step of 1.4 widths is off by 2 exp(-2 pi^2 / 1.4^2) = 1e-4. Close
// to the edge the rays bend sharply and all are wanted.
int stride_of(double beta, double aspect) {
  const double wanted = beta < 1 ? 64 : 2 * base::kPi / 1.4 * beta * aspect;
  int stride = 8;
  while (stride > 1 && kDirections / stride < wanted) stride /= 2;
  return stride;
}

// Sixteen directions without a search: enough where the peak is wide. Opposite rays share a root.
double sum_of_sixteen(const Rays& rays) {
  std::array<double, 16> rho{};
  for (std::size_t k = 0; k < 8; ++k) {
    const Direction& d = directions()[k * (kDirections / 16)];
    const geometry::Point step{rays.l11 * d.c, rays.l21 * d.c + rays.l22 * d.s};
    const double a = geometry::dot(step, step), b = geometry::dot(rays.mean, step);
    const double root = std::sqrt(b * b + a * rays.gap);
    rho[k] = (root - b) / a;
    rho[k + 8] = (root + b) / a;
  }
  double sum = 0;
  for (const double each : rho) sum += std::exp(-each * each / 2);
  return sum;
}

// The mean lies outside: a ray is outside until it enters the disc and again after it leaves.
double chance_from_outside(const Rays& rays) {
  double sum = 0;
  for (const Direction& d : directions()) {
    const geometry::Point step{rays.l11 * d.c, rays.l21 * d.c + rays.l22 * d.s};
    const double a = geometry::dot(step, step), b = geometry::dot(rays.mean, step);
    const double root2 = b * b + a * rays.gap;
    if (root2 <= 0 || b >= 0) {
      sum += 1;
      continue;
    }
    const double root = std::sqrt(root2);
    const double enters = -rays.gap / (root - b), leaves = (root - b) / a;
    sum += 1 - std::exp(-square(enters) / 2) + std::exp(-square(leaves) / 2);
  }
  return sum;
}

// The part of the push towards the hook (+y), beyond the hook's clearance but still in the hole.
double hook_strike(double mean_y, double variance_y, const Blade& blade, const Mechanics& m) {
  const double from = m.hook_clearance_mm / m.hook_gain, to = blade.hole_clearance_mm;
  const double s = std::sqrt(variance_y);
  if (from >= to || from - mean_y > kFar * s) return 0;
  return std::max(0.0, base::normal_cdf((to - mean_y) / s) - base::normal_cdf((from - mean_y) / s));
}

double bending(const Push& push, const Blade& blade, const Mechanics& m, double strength) {
  const double aside = geometry::norm(push.mean);
  const double moment = push.force_n * aside + push.side_n * blade.reach_mm;
  const double stress = moment / blade.section_mm3 + push.force_n / blade.area_mm2;
  if (stress < m.steel_mpa * strength * std::exp(-kFar * m.steel_log_sd)) return 0;
  return base::normal_cdf(std::log(stress / (m.steel_mpa * strength)) / m.steel_log_sd);
}

double buckling(const Push& push, const Mechanics& m) {
  const double ratio = push.force_n / push.critical_n;
  if (ratio < std::exp(-kFar * m.buckle_log_sd)) return 0;
  return base::normal_cdf(std::log(ratio) / m.buckle_log_sd);
}

}  // namespace

double outside_disc_bound(geometry::Point mean, double xx, double xy, double yy, double r) {
  const double clear = r - geometry::norm(mean);
  if (clear <= 0) return 1;
  return std::exp(-square(clear) / (2 * largest_variance(xx, xy, yy)));
}

double outside_disc(geometry::Point mean, double xx, double xy, double yy, double r) {
  const Rays rays = rays_of(mean, xx, xy, yy, r);
  if (rays.gap < 0) return std::min(1.0, chance_from_outside(rays) / kDirections);
  const double large = largest_variance(xx, xy, yy);
  const double small = std::max(1e-12, xx + yy - large);
  const double clear = r - geometry::norm(mean);
  const int stride = stride_of(std::sqrt(clear * clear / large), std::sqrt(large / small));
  if (stride == kDirections / 16) return std::min(1.0, sum_of_sixteen(rays) / 16);
  const int start = direction_index(rays.toward) / stride * stride;
  const int near = nearest_direction(rays, start, stride);
  std::array<bool, kDirections> counted{};
  double sum = sum_about(rays, near, stride, counted);
  // The far side is at least r away; it counts unless that is a thousand times less likely.
  if (r * r / (2 * large) < half_square(rays, near) + 6.9) {
    const int far = nearest_direction(rays, (start + kDirections / 2) % kDirections, stride);
    sum += sum_about(rays, far, stride, counted);
  }
  return std::min(1.0, sum * stride / kDirections);
}

Failure failure_at(const Push& push, const Blade& blade, const Mechanics& m, const CapDraw& draw,
                   double ignore) {
  Failure failure;
  const geometry::Point at = push.mean + draw.alignment;
  const double r = blade.hole_clearance_mm, e = m.hit_share;
  const double xx = push.xx + push.hit_mm2, yy = push.yy + push.hit_mm2;
  // Most of the danger is in the few penetrations that meet a yarn squarely; the common ones are
  // looked at only where they could add a thousandth to it.
  const double hit_bound = outside_disc_bound(at, xx, push.xy, yy, r);
  if (blade.strike_q * e * hit_bound > ignore ||
      blade.strike_q * outside_disc_bound(at, push.xx, push.xy, push.yy, r) > ignore) {
    double strike = e * outside_disc(at, xx, push.xy, yy, r);
    if (outside_disc_bound(at, push.xx, push.xy, push.yy, r) > 1e-3 * strike) {
      strike += (1 - e) * outside_disc(at, push.xx, push.xy, push.yy, r);
    }
    failure.by_mode[0] = blade.strike_q * strike;
  }
  failure.by_mode[1] = m.hook_q * (e * hook_strike(push.mean.y, yy, blade, m) +
                                   (1 - e) * hook_strike(push.mean.y, push.yy, blade, m));
  failure.by_mode[2] = m.bend_q * bending(push, blade, m, draw.strength);
  failure.by_mode[3] = m.buckle_q * buckling(push, m);
  double none = 1;
  for (const double p : failure.by_mode) none *= 1 - p;
  failure.any = 1 - none;
  if (failure.any < 1e-8) {  // where 1 - prod loses its digits
    failure.any = failure.by_mode[0] + failure.by_mode[1] + failure.by_mode[2] + failure.by_mode[3];
  }
  return failure;
}

}  // namespace buckram::needle
