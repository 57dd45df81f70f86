// The space under the cloth, and how it slopes.
#pragma once

#include "cap/crown.h"
#include "cap/setup.h"

#include "base/base.h"

#include <memory>

namespace buckram::cap {

struct GapPoint {
  double clearance_mm = 0;  // u, may be negative
  double gap_mm = 0;        // g >= 0
  double carried = 0;       // kappa, 0 to 1: how far the plate carries the cloth
  geometry::Point slope;    // gradient of cloth height on the chart
};

// What varies from cap to cap, as offsets to the mean field (all zero or one: the mean); T is a
// double, or a base::Four for four caps at a time.
template <class T>
struct GapDrawOf {
  T gap_factor = T{} + 1;  // on the clearance's departure from the plate
  T slope_factor = T{} + 1;
  T modes[3] = {T{}, T{}, T{}};  // of the measured field's posterior, standard normal
  bool operator==(const GapDrawOf&) const = default;
};
using GapDraw = GapDrawOf<double>;

// What the gap at one place is made of, before any draw: with it a draw costs one exponential.
struct GapTerms {
  double clearance_mm = 0;         // mean u
  double modes_mm[3] = {0, 0, 0};  // what a standard normal of each mode adds to u
  double tape_mm = 0;              // g_tape: how far the seam's tape holds the cloth off here
  double open_share = 1;           // tau
  double carry_width_mm = 0.4;
  geometry::Point bulge_slope;  // gradient of the bulges, tautness taken off
  geometry::Point lean_slope;   // gradient of the leaning front or the sagging cloth, likewise
  double bulge_flattened = 0.7;
  bool operator==(const GapTerms&) const = default;
};

// The gap at that place on one cap, or on four. Smooth and monotone: more clearance never closes
// the gap.
template <class T>
struct GapPointOf {
  T clearance_mm, gap_mm, carried, slope_x, slope_y;
};
template <class T>
GapPointOf<T> gap_law(const GapTerms& t, const GapDrawOf<T>& draw) {
  GapPointOf<T> g;
  g.clearance_mm = t.clearance_mm * draw.gap_factor;
  for (int i = 0; i < 3; ++i) g.clearance_mm += t.modes_mm[i] * draw.modes[i];
  g.carried = base::logistic(-g.clearance_mm / t.carry_width_mm);
  const T over_tape = base::larger(T{}, g.clearance_mm - t.tape_mm);
  g.gap_mm = t.tape_mm + t.open_share * over_tape * base::logistic(over_tape / t.carry_width_mm);
  const T bulge = (1 - t.bulge_flattened * g.carried) * draw.slope_factor;
  g.slope_x = t.bulge_slope.x * bulge + t.lean_slope.x * draw.slope_factor;
  g.slope_y = t.bulge_slope.y * bulge + t.lean_slope.y * draw.slope_factor;
  return g;
}
GapPoint gap_point(const GapTerms& terms, const GapDraw& draw);

// Gap and slope anywhere on the front. Built once per setup (O(readings^3)), then O(readings) a
// look-up. Laws: no reading far away changes the prior mean; more raise, packing or clips never
// widens the gap; the gap is never negative.
//
// Readings change the clearance u by a Gaussian process: prior mean the geometry's, covariance
// sd^2 exp(-d^2 / 2 l^2). A reading of 0 says u <= 0 and is taken by moments of the cut normal
// (expectation propagation; Rasmussen and Williams, Gaussian Processes for Machine Learning,
// 2006, section 3.6). What the readings leave open varies as a whole field: its three leading
// modes over the front (Nystroem), not scatter from stitch to stitch.
class GapField {
 public:
  explicit GapField(const Setup& setup);
  GapTerms terms(geometry::Point chart) const;
  GapPoint at(geometry::Point chart, const GapDraw& draw = {}) const;
  double prior_clearance(geometry::Point chart) const;  // mean u before any reading, mm
  double clearance_sd(geometry::Point chart) const;     // posterior, mm

 private:
  struct State;
  std::shared_ptr<const State> state_;
};

}  // namespace buckram::cap
