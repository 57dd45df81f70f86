// How hard the needle has to push: the stack under each penetration, and the thread that the
// design itself has already laid there.
//
//   P = [sum k_i t_i + seam + allowance] (d / d_ref)^a f_point (n / n_ref)^r (1 + c_P eta)
//
// Layers add (Haghighat and others 2014: number of layers leads the regressions of needle force);
// extra layers end over edge_mm by a logistic, because a step would make the forecast jump when
// the artwork moves by a tenth.
#pragma once

#include "needle/mechanics.h"

#include <vector>

namespace buckram::needle {

// Force of the stack at one place for this needle before any thread is sewn there, N.
// Laws: linear in the layers' hardness and thickness; never negative.
struct Stack {
  double cloth_n = 0;      // cap's cloth without its stiffener, and the backing
  double stiffener_n = 0;  // buckram or foam
  double seam_n = 0;       // folded layers and tape at this place
  double allowance_n = 0;  // at the bill seam
  double sum() const { return cloth_n + stiffener_n + seam_n + allowance_n; }
};
Stack stack_at(const cap::Setup& setup, const Mechanics& mechanics, geometry::Point at);
// The part that is the same everywhere, and the rest laid over it: for many places of one setup.
Stack layers_stack(const cap::Setup& setup);
Stack stack_over(const Stack& layers, const cap::Setup& setup, const Mechanics& mechanics,
                 geometry::Point at);

// (d / d_ref)^a f_point.
double needle_factor(const cap::Needle& needle, const Mechanics& mechanics);

// (n / n_ref)^r: the needle's speed at the cloth goes with the machine's.
double rate_factor(double speed_spm, const Mechanics& mechanics);

// 1 + c_P eta, with eta in layers.
double crowding_factor(double layers, const Mechanics& mechanics);

// Layers of thread within crowd_radius_mm of every `sew` entry at the moment it is sewn (other
// entries: 0): length of thread laid by earlier stitches, weighted by a rim of a quarter radius
// that fades, plus hole_thread_mm for each earlier hole, times thread width over the disc's area;
// above layers_limit more thread adds little (limit tanh(eta / limit)).
// Laws: the first stitch has none; thread sewn later never counts; moving the plan as a whole
// changes nothing. O(entries) with a grid. Error of the pieces' length (at most 0.5 mm each)
// under 2 % of a layer.
std::vector<double> crowding(const stitch::Plan& plan, const Mechanics& mechanics);

}  // namespace buckram::needle
