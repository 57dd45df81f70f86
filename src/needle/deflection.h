// Where the cloth pushes the point: the needle as a stepped cantilever column, and the mean and
// covariance of its point's place when it reaches the plate.
//
// What differs from cap to cap is a template over its number: `double` for one cap, `base::Four`
// for four caps at a time, which is how a forecast goes through its draws.
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
  // Loads, as shares of the strength, below which neither bending nor buckling is counted: seven
  // standard deviations out, 1e-12.
  double bend_from = 0, buckle_from = 0;
  bool operator==(const Blade&) const = default;
};
// `hole_mm`: of the mount's plate; empty: the mechanics' common one.
Blade blade_of(const cap::Needle& needle, const Mechanics& mechanics,
               std::optional<double> hole_mm = {});

// Load at which it buckles when the cloth (k_c in plane) holds the point with the share `hold`.
template <class T>
T critical_load(const Blade& blade, double k_c, T hold) {
  return base::smaller(T{} + blade.pinned_load_n,
                       blade.free_load_n + blade.hold_per_stiffness_mm * k_c * hold);
}

// E[(t - mu)+] for mu normal with mean `friction`, and Phi((friction - t) / sd), together because
// they share their exponentials: sd (q Phi(q) + phi(q)), q = (t - friction) / sd.
template <class T>
struct Friction {
  T excess;  // E[(t - mu)+]
  T grip;    // Phi(-q)
};
template <class T>
Friction<T> friction_at(T slope, double friction, double sd) {
  constexpr double kPerRootTwoPi = 0.3989422804014327;
  const T q = (slope - friction) / sd;
  const T slips = base::upper_tail(-q);
  const T density = kPerRootTwoPi * base::exp_of(-0.5 * q * q);
  return {base::larger(T{}, sd * (q * slips + density)), 1 - slips};
}

// What does not differ from cap to cap at one penetration.
struct Place {
  cap::GapTerms gap;
  double force_n = 0;            // P at mean hardness, crowding included
  double layers = 0;             // eta
  double across_n_per_mm = 0;    // k_z
  double in_plane_n_per_mm = 0;  // k_c
  double foot_room_mm = 0;       // max(0, h_foot - stack)
  FrameMotion motion;
  bool operator==(const Place&) const = default;
};

// One cap or two: standard deviations applied.
template <class T>
struct CapDrawOf {
  T hardness = T{} + 1;
  cap::GapDrawOf<T> gap;
  T alignment_x = T{}, alignment_y = T{};  // needle to hole, mm
  T alignment_mm2 = T{};                   // variance of what is not drawn of it, each way
  T strength = T{} + 1;
  T strength_log2 = T{};  // variance of its logarithm that is not drawn
  bool operator==(const CapDrawOf&) const = default;
};
using CapDraw = CapDrawOf<double>;

// The point at the plate: mean and covariance, without the needle's own alignment.
template <class T>
struct PushOf {
  T gap_mm, slope;  // slope = |gradient|
  T force_n, critical_n, stiffness_n_per_mm;
  T travel_mm;           // w: how far the cloth goes down with the point
  T drift_mm, slide_mm;  // downhill
  T mean_x, mean_y;
  T xx, xy, yy;        // covariance of a common penetration, mm^2; the swing's part of it included
  T swing_x, swing_y;  // of the frame: amplitude along the stitch, at a phase that is not known
  T hit_mm2;           // added to both variances where the point meets a yarn squarely
  T side_n;            // sideways force at the point, H
};
using Push = PushOf<double>;
// Laws: no gap, no drift; no slope, no drift nor slide; harder never shortens the travel.
template <class T>
PushOf<T> push_at(const Place& place, const Blade& blade, const Mechanics& mechanics,
                  const CapDrawOf<T>& draw);
extern template Push push_at(const Place&, const Blade&, const Mechanics&, const CapDraw&);
extern template PushOf<base::Four> push_at(const Place&, const Blade&, const Mechanics&,
                                           const CapDrawOf<base::Four>&);

}  // namespace buckram::needle
