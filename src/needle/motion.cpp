#include "needle/motion.h"

#include <algorithm>
#include <cmath>

namespace buckram::needle {

double point_height_mm(const Mechanics& m, double phi_rad) {
  return m.lowest_mm + m.stroke_mm / 2 * (1 + std::cos(phi_rad));
}

double time_to_height_s(const Mechanics& m, double speed_spm, double height_mm) {
  const double c = std::clamp(2 * (height_mm - m.lowest_mm) / m.stroke_mm - 1, -1.0, 1.0);
  return std::acos(c) / (2 * base::kPi) * 60 / speed_spm;
}

double move_time_s(const cap::Mount& mount, double mm) {
  const double a = mount.acceleration_m_s2 * 1000, v = mount.top_speed_m_s * 1000;
  return mm <= v * v / a ? 2 * std::sqrt(mm / a) : mm / v + v / a;
}

// Entry time falls all but linearly with the gap (acos near its middle: off by under 0.02 ms over
// 6 mm), so two points of it are enough.
FrameMotion frame_motion(const cap::Mount& mount, const Mechanics& m, double speed_spm,
                         double stack_mm, double machine_step_mm, geometry::Point chart_step) {
  constexpr double kGapMm = 3;
  FrameMotion motion;
  motion.entry_s = time_to_height_s(m, speed_spm, stack_mm);
  motion.entry_per_mm =
      (motion.entry_s - time_to_height_s(m, speed_spm, stack_mm + kGapMm)) / kGapMm;
  if (machine_step_mm <= 0) return motion;
  motion.direction = geometry::unit(chart_step);
  motion.stop_s = move_time_s(mount, machine_step_mm) / 2;
  motion.most_left_mm = m.way_left_mm;
  motion.braking_mm_s2 = mount.acceleration_m_s2 * 1000;
  const double omega2 = mount.ring_rad_s * mount.ring_rad_s;
  motion.ring_mm =
      mount.ring * std::min(motion.braking_mm_s2, machine_step_mm * omega2 / 4) / omega2;
  motion.ring_decay_per_s = mount.damping * mount.ring_rad_s;
  return motion;
}

}  // namespace buckram::needle
