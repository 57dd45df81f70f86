// Where the point is pushed: definitions, for the units that instantiate them.
#pragma once

#include "needle/deflection.h"

namespace buckram::needle {
namespace push_parts {

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

}  // namespace push_parts

template <class T>
PushOf<T> push_at(const Place& place, const Blade& blade, const Mechanics& m,
                  const CapDrawOf<T>& draw) {
  PushOf<T> push;
  const cap::GapPointOf<T> gap = cap::gap_law(place.gap, draw.gap);
  const double k_c = place.in_plane_n_per_mm;
  push.gap_mm = gap.gap_mm;
  push.slope = base::root(push_parts::squared(gap.slope_x) + push_parts::squared(gap.slope_y));
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
  push.slide_mm = push_parts::slipped(push.side_n / push.stiffness_n_per_mm, m.yarn_pitch_mm);

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
  const T common = push_parts::squared(push_parts::slipped(glance, m.throw_limit_mm)) +
                   push_parts::squared(sway);
  push.hit_mm2 = push_parts::squared(push_parts::slipped(m.hit_factor * glance, m.throw_limit_mm)) +
                 push_parts::squared(m.hit_factor * sway) - common;
  const T round = common + push_parts::squared(m.floor_mm);
  const T along_slope = push_parts::squared(m.drift_share * push.drift_mm) +
                        push_parts::squared(m.slide_share * push.slide_mm);
  push.swing_x = frame.direction.x * ring, push.swing_y = frame.direction.y * ring;
  // the mean square of a sine of unknown phase is half its amplitude's
  push.xx =
      round + along_slope * push_parts::squared(down_x) + push_parts::squared(push.swing_x) / 2;
  push.yy =
      round + along_slope * push_parts::squared(down_y) + push_parts::squared(push.swing_y) / 2;
  push.xy = along_slope * down_x * down_y + push.swing_x * push.swing_y / 2;
  return push;
}

}  // namespace buckram::needle
