#include "needle/deflection.h"

#include <algorithm>
#include <cmath>

namespace buckram::needle {
namespace {

// How far a side force takes the point that would bend the needle by `free_mm`: it pushes only
// until the point has slipped past what throws it, `limit_mm` wide.
template <class T>
T slipped(T free_mm, double limit_mm) {
  return limit_mm * base::tanh_of(free_mm / limit_mm);
}

template <class T>
T squared(T x) {
  return x * x;
}

}  // namespace

double stepped_flexibility(double a_mm, double ei_a, double b_mm, double ei_b) {
  const double length = a_mm + b_mm;
  const double b3 = b_mm * b_mm * b_mm;
  return ((length * length * length - b3) / ei_a + b3 / ei_b) / 3;
}

Blade blade_of(const cap::Needle& n, const Mechanics& m, std::optional<double> hole_mm) {
  const auto second_moment = [](double d) { return base::kPi * squared(squared(d)) / 64; };
  const double ei = n.young_mpa * n.groove * second_moment(n.d_mm);
  const double ei_shank = n.young_mpa * second_moment(n.shank_d_mm);
  Blade b;
  b.d_mm = n.d_mm;
  b.reach_mm = n.shank_mm + n.blade_mm;
  b.stiffness_n_per_mm = 1 / stepped_flexibility(n.shank_mm, ei_shank, n.blade_mm, ei);
  b.free_load_n = squared(base::kPi) * ei / (4 * squared(n.blade_mm));
  b.pinned_load_n = m.pinned_factor * ei / squared(n.blade_mm);
  b.hold_per_stiffness_mm = m.hold_factor * n.blade_mm;
  const double thinner = m.reference_d_mm / n.d_mm;
  b.strike_q = std::min(1.0, m.plate_q * thinner * thinner * thinner);
  b.hole_clearance_mm = std::max(0.01, (hole_mm.value_or(m.hole_mm) - n.d_mm) / 2);
  b.section_mm3 = base::kPi * n.d_mm * squared(n.d_mm) / 32;
  b.area_mm2 = base::kPi * squared(n.d_mm) / 4;
  constexpr double kFar = 7;  // standard deviations: Phi(-7) = 1.3e-12
  b.bend_from = std::exp(-kFar * std::sqrt(2) * m.steel_log_sd);  // drawn or not, the cap's too
  b.buckle_from = std::exp(-kFar * m.buckle_log_sd);
  return b;
}

template <class T>
PushOf<T> push_at(const Place& place, const Blade& blade, const Mechanics& m,
                  const CapDrawOf<T>& draw) {
  PushOf<T> push;
  const cap::GapPointOf<T> gap = cap::gap_law(place.gap, draw.gap);
  const double k_c = place.in_plane_n_per_mm;
  push.gap_mm = gap.gap_mm;
  push.slope = base::root(squared(gap.slope_x) + squared(gap.slope_y));
  push.force_n = place.force_n * draw.hardness;
  const Friction<T> f = friction_at(push.slope, m.friction, m.friction_sd);
  const T hold = m.hold_least + (1 - m.hold_least) * f.grip;
  push.critical_n = critical_load(blade, k_c, hold);
  const T load = base::smaller(T{} + m.load_limit, push.force_n / push.critical_n);
  push.stiffness_n_per_mm = blade.stiffness_n_per_mm * (1 - load);

  const T drag = k_c / (k_c + push.stiffness_n_per_mm);
  push.travel_mm = base::smaller(
      gap.gap_mm, base::smaller(push.force_n / place.across_n_per_mm, T{} + place.foot_room_mm));
  push.drift_mm = push.travel_mm * base::smaller(push.slope, T{} + m.friction) * drag;
  push.side_n = push.force_n / 2 * f.excess / (1 + m.friction * push.slope);
  push.slide_mm = slipped(push.side_n / push.stiffness_n_per_mm, m.yarn_pitch_mm);

  const T per_slope = -1 / base::larger(push.slope, T{} + 1e-300);
  const T down_x = gap.slope_x * per_slope, down_y = gap.slope_y * per_slope;
  const FrameMotion& frame = place.motion;
  const T left = frame.left_mm(gap.gap_mm) * drag;
  T ring{};
  if (frame.ring_mm > 0) {
    ring = frame.ring_mm * base::exp_of(-frame.ring_decay_per_s * frame.still_s(gap.gap_mm)) * drag;
  }
  const T aside = push.drift_mm + push.slide_mm;
  push.mean_x = down_x * aside - frame.direction.x * left;
  push.mean_y = down_y * aside - frame.direction.y * left;

  const T glance =
      m.glance * push.force_n / push.stiffness_n_per_mm * (1 + m.glance_per_layer * place.layers);
  const T sway = m.sway * push.travel_mm;
  const T common = squared(slipped(glance, m.throw_limit_mm)) + squared(sway);
  push.hit_mm2 = squared(slipped(m.hit_factor * glance, m.throw_limit_mm)) +
                 squared(m.hit_factor * sway) - common;
  const T round = common + squared(m.floor_mm);
  const T along_slope =
      squared(m.drift_share * push.drift_mm) + squared(m.slide_share * push.slide_mm);
  push.swing_x = frame.direction.x * ring, push.swing_y = frame.direction.y * ring;
  // the mean square of a sine of unknown phase is half its amplitude's
  push.xx = round + along_slope * squared(down_x) + squared(push.swing_x) / 2;
  push.yy = round + along_slope * squared(down_y) + squared(push.swing_y) / 2;
  push.xy = along_slope * down_x * down_y + push.swing_x * push.swing_y / 2;
  return push;
}

template Push push_at(const Place&, const Blade&, const Mechanics&, const CapDraw&);
template PushOf<base::Pair> push_at(const Place&, const Blade&, const Mechanics&,
                                    const CapDrawOf<base::Pair>&);

}  // namespace buckram::needle
