// The frame under the needle: how much of its step is made, and how much it still swings, while
// the point is in the cloth.
#pragma once

#include "needle/mechanics.h"

#include "base/base.h"

namespace buckram::needle {

// Height of the needle's point above the plate at crank angle `phi` from the top, for a pure
// harmonic drive: z_low + (A / 2)(1 + cos phi).
double point_height_mm(const Mechanics& mechanics, double phi_rad);

// Seconds from the needle's top until its point is down at `height_mm` above the plate.
double time_to_height_s(const Mechanics& mechanics, double speed_spm, double height_mm);

// Seconds to move `mm` from rest to rest: triangle of speed, or trapezoid when top speed is met.
double move_time_s(const cap::Mount& mount, double mm);

// One penetration's step, reduced to what the draws need. Times in seconds from the needle's top.
struct FrameMotion {
  geometry::Point direction;  // of the stitch, on the chart; {0, 0}: the frame rests
  double stop_s = 0;          // the frame stops
  double entry_s = 0;         // the point enters at no gap ...
  double entry_per_mm = 0;    // ... and this much earlier per mm of gap
  double braking_mm_s2 = 0;
  double most_left_mm = 0;      // the controller slows for stitches that would leave more
  double ring_mm = 0;           // amplitude at the stop
  double ring_decay_per_s = 0;  // zeta omega
  bool operator==(const FrameMotion&) const = default;

  // Frame's way left at the entry for that gap, mm. While braking: a t^2 / 2.
  template <class T>
  T left_mm(T gap_mm) const {
    const T late = base::larger(T{}, stop_s - entry_s + entry_per_mm * gap_mm);
    return base::smaller(T{} + most_left_mm, braking_mm_s2 / 2 * late * late);
  }
  // Seconds from the frame's stop to the entry.
  template <class T>
  T still_s(T gap_mm) const {
    return base::larger(T{}, entry_s - entry_per_mm * gap_mm - stop_s);
  }
};

// The step from the needle-down before at `from` to `to`, both in machine mm, with its chart
// direction. `stack_mm` of cloth lies over the gap.
FrameMotion frame_motion(const cap::Mount& mount, const Mechanics& mechanics, double speed_spm,
                         double stack_mm, double machine_step_mm, geometry::Point chart_step);

}  // namespace buckram::needle
