// The four ways to break: definitions, for the units that instantiate them.
#pragma once

#include "needle/plate_strike.h"

namespace buckram::needle {
namespace ways {

// The part of the push towards the hook (+y), beyond the hook's clearance but still in the hole,
// where it can be more than a thousandth of `beside`.
template <class T>
T hook_strike(T mean_y, T variance_y, const Blade& blade, const Mechanics& m, T beside) {
  const double from = m.hook_clearance_mm / m.hook_gain, to = blade.hole_clearance_mm;
  if (from >= to) return T{};
  const T s = base::root(variance_y);
  const T z = (from - mean_y) / s;
  if (!base::any(base::exp_of(-0.5 * plate::square(base::larger(z, T{}))) > 1e-3 * beside))
    return T{};
  return base::larger(T{}, base::upper_tail(z) - base::upper_tail((to - mean_y) / s));
}

template <class T>
T bending(const PushOf<T>& push, const Blade& blade, const Mechanics& m, const CapDrawOf<T>& draw) {
  const T aside = base::root(plate::square(push.mean_x) + plate::square(push.mean_y));
  const T moment = push.force_n * aside + push.side_n * blade.reach_mm;
  const T stress = moment / blade.section_mm3 + push.force_n / blade.area_mm2;
  const T share = stress / (m.steel_mpa * draw.strength);
  if (!base::any(share > blade.bend_from)) return T{};
  const T log_sd = base::root(T{} + plate::square(m.steel_log_sd) + draw.strength_log2);
  const T log_share = base::each_of(share, [](double x) { return std::log(x); });
  return base::each_of(log_share / log_sd, [](double z) { return base::normal_cdf(z); });
}

template <class T>
T buckling(const PushOf<T>& push, const Blade& blade, const Mechanics& m) {
  const T share = push.force_n / push.critical_n;
  if (!base::any(share > blade.buckle_from)) return T{};
  return base::each_of(share,
                       [&](double x) { return base::normal_cdf(std::log(x) / m.buckle_log_sd); });
}

}  // namespace ways

template <class T>
FailureOf<T> failure_at(const PushOf<T>& push, const Blade& blade, const Mechanics& m,
                        const CapDrawOf<T>& draw, const Care& care) {
  FailureOf<T> failure;
  const double r = blade.hole_clearance_mm, e = m.hit_share;
  const Normal2<T> common{push.mean_x + draw.alignment_x, push.mean_y + draw.alignment_y,
                          push.xx + draw.alignment_mm2, push.xy, push.yy + draw.alignment_mm2};
  const plate::Bound<T> bound = plate::bound_of(common, r);
  Normal2<T> hit = common;
  hit.xx += push.hit_mm2, hit.yy += push.hit_mm2;  // all round: the largest grows by as much
  const plate::Bound<T> hit_bounded{bound.large + push.hit_mm2, bound.clear};
  // Most of the danger is in the few penetrations that meet a yarn squarely; the common ones are
  // looked at only where they could add a thousandth to it.
  const T common_bound = base::exp_of(-bound.exponent());
  const T hit_bound = e * base::exp_of(-hit_bounded.exponent());
  if (base::any(blade.strike_q * base::larger(hit_bound, common_bound) > care.ignore)) {
    T strike = e * plate::outside_with_swing(hit, push, r, hit_bounded, T{}, care);
    if (base::any(common_bound > 3e-3 * strike)) {
      strike += (1 - e) * plate::outside_with_swing(common, push, r, bound, strike, care);
    }
    failure.by_mode[0] = blade.strike_q * strike;
  }
  const T beside = failure.by_mode[0] / m.hook_q;
  failure.by_mode[1] =
      m.hook_q * (e * ways::hook_strike(push.mean_y, hit.yy, blade, m, beside / e) +
                  (1 - e) * ways::hook_strike(push.mean_y, push.yy, blade, m, beside));
  failure.by_mode[2] = m.bend_q * ways::bending(push, blade, m, draw);
  failure.by_mode[3] = m.buckle_q * ways::buckling(push, blade, m);
  for (const T p : failure.by_mode) failure.any += p * (1 - failure.any);
  return failure;
}

}  // namespace buckram::needle
