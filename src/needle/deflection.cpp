#include "needle/deflection.h"

#include <algorithm>
#include <cmath>

namespace buckram::needle {
namespace {

double square(double x) {
  return x * x;
}

// How far a side force takes the point that would bend the needle by `free_mm`: it pushes only
// until the point has slipped past what throws it, `limit_mm` wide.
double slipped(double free_mm, double limit_mm) {
  return limit_mm * std::tanh(free_mm / limit_mm);
}

}  // namespace

double stepped_flexibility(double a_mm, double ei_a, double b_mm, double ei_b) {
  const double length = a_mm + b_mm;
  const double b3 = b_mm * b_mm * b_mm;
  return ((length * length * length - b3) / ei_a + b3 / ei_b) / 3;
}

Blade blade_of(const cap::Needle& n, const Mechanics& m, std::optional<double> hole_mm) {
  const auto second_moment = [](double d) { return base::kPi * square(square(d)) / 64; };
  const double ei = n.young_mpa * n.groove * second_moment(n.d_mm);
  const double ei_shank = n.young_mpa * second_moment(n.shank_d_mm);
  Blade b;
  b.d_mm = n.d_mm;
  b.reach_mm = n.shank_mm + n.blade_mm;
  b.stiffness_n_per_mm = 1 / stepped_flexibility(n.shank_mm, ei_shank, n.blade_mm, ei);
  b.free_load_n = square(base::kPi) * ei / (4 * square(n.blade_mm));
  b.pinned_load_n = m.pinned_factor * ei / square(n.blade_mm);
  b.hold_per_stiffness_mm = m.hold_factor * n.blade_mm;
  const double thinner = m.reference_d_mm / n.d_mm;
  b.strike_q = std::min(1.0, m.plate_q * thinner * thinner * thinner);
  b.hole_clearance_mm = std::max(0.01, (hole_mm.value_or(m.hole_mm) - n.d_mm) / 2);
  b.section_mm3 = base::kPi * n.d_mm * square(n.d_mm) / 32;
  b.area_mm2 = base::kPi * square(n.d_mm) / 4;
  return b;
}

Friction friction_at(double slope, double friction, double sd) {
  const double q = (slope - friction) / sd;
  if (q < -6) return {0, 1};  // E[(t - mu)+] < 1e-10 sd
  if (q > 6) return {slope - friction, 0};
  const double grip = base::normal_cdf(-q);
  const double density = std::exp(-q * q / 2) * 0.3989422804014327;  // 1 / sqrt(2 pi)
  return {std::max(0.0, sd * (q * (1 - grip) + density)), grip};
}

Push push_at(const Place& place, const Blade& blade, const Mechanics& m, const CapDraw& draw) {
  Push push;
  const cap::GapPoint gap = cap::gap_point(place.gap, draw.gap);
  push.gap_mm = gap.gap_mm, push.carried = gap.carried;
  push.slope = geometry::norm(gap.slope);
  push.force_n = place.force_n * draw.hardness;
  const Friction f = friction_at(push.slope, m.friction, m.friction_sd);
  const double hold = m.hold_least + (1 - m.hold_least) * f.grip;
  push.critical_n = critical_load(blade, place.in_plane_n_per_mm, hold);
  const double load = std::min(m.load_limit, push.force_n / push.critical_n);
  push.stiffness_n_per_mm = blade.stiffness_n_per_mm * (1 - load);

  const double drag = place.in_plane_n_per_mm / (place.in_plane_n_per_mm + push.stiffness_n_per_mm);
  push.travel_mm = std::min({gap.gap_mm, push.force_n / place.across_n_per_mm, place.foot_room_mm});
  push.drift_mm = push.travel_mm * std::min(push.slope, m.friction) * drag;
  push.side_n = push.force_n / 2 * f.excess / (1 + m.friction * push.slope);
  push.slide_mm = slipped(push.side_n / push.stiffness_n_per_mm, m.yarn_pitch_mm);

  const geometry::Point downhill =
      push.slope > 0 ? gap.slope * (-1 / push.slope) : geometry::Point{0, 0};
  const FrameMotion& frame = place.motion;
  const double left = frame.left_mm(gap.gap_mm);
  const double still =
      std::max(0.0, frame.entry_s - frame.entry_per_mm * gap.gap_mm - frame.stop_s);
  const double ring =
      frame.ring_mm > 0 ? frame.ring_mm * std::exp(-frame.ring_decay_per_s * still) * drag : 0;
  push.mean = downhill * (push.drift_mm + push.slide_mm) - frame.direction * (left * drag);

  const double glance =
      m.glance * push.force_n / push.stiffness_n_per_mm * (1 + m.glance_per_layer * place.layers);
  const double sway = m.sway * push.travel_mm;
  const double common = square(slipped(glance, m.throw_limit_mm)) + square(sway);
  push.hit_mm2 = square(slipped(m.hit_factor * glance, m.throw_limit_mm)) +
                 square(m.hit_factor * sway) - common;
  const double round = common + square(m.floor_mm);
  const double along_slope =
      square(m.drift_share * push.drift_mm) + square(m.slide_share * push.slide_mm);
  const double along_stitch = ring * ring / 2;  // mean square of a sine of unknown phase
  const geometry::Point s = frame.direction;
  push.xx = round + along_slope * square(downhill.x) + along_stitch * square(s.x);
  push.yy = round + along_slope * square(downhill.y) + along_stitch * square(s.y);
  push.xy = along_slope * downhill.x * downhill.y + along_stitch * s.x * s.y;
  return push;
}

}  // namespace buckram::needle
