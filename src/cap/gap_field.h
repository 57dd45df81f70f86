// The space under the cloth, and how it slopes.
#pragma once

#include "cap/crown.h"
#include "cap/setup.h"

#include <memory>

namespace buckram::cap {

struct GapPoint {
  double clearance_mm = 0;        // u, may be negative
  double gap_mm = 0;              // g >= 0
  double carried = 0;             // kappa, 0 to 1: how far the plate carries the cloth
  geometry::Point slope;          // gradient of cloth height on the chart
};

// What varies from cap to cap, as offsets to the mean field (all zero or one: the mean).
struct GapDraw {
  double gap_factor = 1;          // on the clearance's departure from the plate
  double slope_factor = 1;
  double modes[3] = {0, 0, 0};    // of the measured field's posterior, standard normal
};

// Gap and slope anywhere on the front. Built once per setup (O(readings^3)), then O(readings) a
// look-up. Laws: no reading far away changes the prior mean; more raise, packing or clips never
// widens the gap; the gap is never negative.
class GapField {
 public:
  explicit GapField(const Setup& setup);
  GapPoint at(geometry::Point chart, const GapDraw& draw = {}) const;
  double clearance_sd(geometry::Point chart) const;   // posterior, mm

 private:
  struct State;
  std::shared_ptr<const State> state_;
};

}  // namespace buckram::cap
