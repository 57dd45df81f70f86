// Where stitches lie on the chart, so that leaders and numbered discs keep clear of them.
#pragma once

#include "geometry/geometry.h"
#include "stitch/stitch.h"

#include <functional>
#include <optional>

namespace buckram::report {

// Points and boxes are of the chart's picture: mm, y down.
class SewnLand {
 public:
  // Only what lies within `window` (chart) is known. O(sewn length + window / 0.25 mm2).
  SewnLand(const stitch::Plan& plan, const geometry::Box& window);

  bool is_sewn(geometry::Point p) const;  // within 1 mm of thread, to the cells' 0.5 mm
  // Millimetres of the way from a to b that lie over stitches or within 1 mm of them.
  double sewn_along(geometry::Point a, geometry::Point b) const;
  // Whether a disc lies within the window and clear of stitches.
  bool is_clear(geometry::Point middle, double radius_mm) const;

 private:
  geometry::Box window_;
  geometry::Raster cells_;
};

struct PinPlace {
  geometry::Point at;
  double cost_mm = 0;  // length of the leader, and four times what of it lies over stitches
};
// The nearest place for a disc of `radius_mm` off the stitches, from `from_mm` to 30 mm away, that
// costs least; `is_free` says whether nothing else stands there, `extra_mm` what a leader from `at`
// to a place costs besides. Empty when there is none.
std::optional<PinPlace> nearest_pin(const SewnLand& land, geometry::Point at, double from_mm,
                                    double radius_mm,
                                    const std::function<bool(const geometry::Box&)>& is_free,
                                    const std::function<double(geometry::Point)>& extra_mm);
// What a leader from `at`, beginning `from_mm` away, to `pin` costs.
double leader_cost(const SewnLand& land, geometry::Point at, double from_mm, geometry::Point pin);

}  // namespace buckram::report
