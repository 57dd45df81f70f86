// Where the cloth pushes the point: the needle as a stepped cantilever column, and the mean and
// covariance of its point's place when it reaches the plate.
#pragma once

#include "needle/mechanics.h"
#include "needle/motion.h"

namespace buckram::needle {

// Tip deflection of a cantilever whose part at the clamp (length a, stiffness EI_a) carries a part
// of length b and stiffness EI_b, per unit of tip force, mm/N: unit-load method,
//   [(L^3 - b^3) / EI_a + b^3 / EI_b] / 3, L = a + b.
// Law: both parts alike give L^3 / (3 EI).
double stepped_flexibility(double a_mm, double ei_a, double b_mm, double ei_b);

// The needle in the cloth. Forces in N, lengths in mm.
struct Blade {
  double d_mm = 0;
  double reach_mm = 0;               // clamp to point
  double stiffness_n_per_mm = 0;     // k_n0, sideways at the point
  double free_load_n = 0;            // P_free = pi^2 EI / (4 L_b^2): Euler, clamped and free
  double pinned_load_n = 0;          // P_pinned = 20.19 EI / L_b^2: Euler, clamped and pinned
  double hold_per_stiffness_mm = 0;  // 0.81 L_b: what k_c h adds to P_free
  double strike_q = 0;               // chance that a plate strike breaks it: plate_q (0.8 / d)^3
  double hole_clearance_mm = 0;      // c_h = (D_hole - d) / 2
  double section_mm3 = 0;            // pi d^3 / 32
  double area_mm2 = 0;
};
Blade blade_of(const cap::Needle& needle, const Mechanics& mechanics,
               std::optional<double> hole_mm = {});

// Load at which it buckles when the cloth (k_c in plane) holds the point with the share `hold`.
inline double critical_load(const Blade& blade, double k_c, double hold) {
  const double held = blade.free_load_n + blade.hold_per_stiffness_mm * k_c * hold;
  return held < blade.pinned_load_n ? held : blade.pinned_load_n;
}

// E[(t - mu)+] for mu normal with mean `friction`, and Phi((friction - t) / sd), together because
// they share their exponentials: sd (q Phi(q) + phi(q)), q = (t - friction) / sd.
struct Friction {
  double excess = 0;  // E[(t - mu)+]
  double grip = 0;    // Phi(-q)
};
Friction friction_at(double slope, double friction, double sd);

// What does not differ from cap to cap at one penetration.
struct Place {
  cap::GapTerms gap;
  double force_n = 0;            // P at mean hardness, crowding included
  double layers = 0;             // eta
  double across_n_per_mm = 0;    // k_z
  double in_plane_n_per_mm = 0;  // k_c
  double foot_room_mm = 0;       // max(0, h_foot - stack)
  FrameMotion motion;
};

// One cap: standard deviations applied.
struct CapDraw {
  double hardness = 1;
  cap::GapDraw gap;
  geometry::Point alignment;  // needle to hole, mm
  double strength = 1;
};

// The point at the plate: mean and covariance, without the needle's own alignment.
struct Push {
  double gap_mm = 0, carried = 0, slope = 0;  // slope = |gradient|
  double force_n = 0, critical_n = 0, stiffness_n_per_mm = 0;
  double travel_mm = 0;               // w: how far the cloth goes down with the point
  double drift_mm = 0, slide_mm = 0;  // downhill
  geometry::Point mean;
  double xx = 0, xy = 0, yy = 0;  // covariance of a common penetration, mm^2
  double hit_mm2 = 0;             // added to both variances where the point meets a yarn squarely
  double side_n = 0;              // sideways force at the point, H
};
// Laws: no gap, no drift; no slope, no drift nor slide; harder never shortens the travel.
Push push_at(const Place& place, const Blade& blade, const Mechanics& mechanics,
             const CapDraw& draw);

}  // namespace buckram::needle
