#include "report/sewn_land.h"

#include "base/base.h"

#include <cmath>

namespace buckram::report {
namespace {

using geometry::Box;
using geometry::Point;

constexpr double kCell_mm = 0.5, kMargin_mm = 1, kFarthest_mm = 30;
constexpr double kOverStitches = 4;  // a millimetre over stitches counts as so many beside them

}  // namespace

SewnLand::SewnLand(const stitch::Plan& plan, const Box& window)
    : window_{window.x0, -window.y1, window.x1, -window.y0},
      cells_(geometry::make_raster(window, kCell_mm, 0)) {
  for (int i = 1; i < plan.size(); ++i) {
    if (!stitch::has_thread(plan, i)) continue;
    geometry::paint_capsule(cells_, plan.at(i - 1), plan.at(i), 2 * kMargin_mm, 1);
  }
}

bool SewnLand::is_sewn(Point p) const {
  const int i = static_cast<int>(std::floor((p.x - cells_.origin.x) / cells_.pitch_mm));
  const int j = static_cast<int>(std::floor((-p.y - cells_.origin.y) / cells_.pitch_mm));
  if (i < 0 || j < 0 || i >= cells_.width || j >= cells_.height) return false;
  return cells_.at(i, j) != 0;
}

double SewnLand::sewn_along(Point a, Point b) const {
  const double length = geometry::distance(a, b);
  const int n = std::max(1, static_cast<int>(length / kCell_mm));
  int n_sewn = 0;
  for (int k = 0; k < n; ++k) n_sewn += is_sewn(geometry::mix(a, b, (k + 0.5) / n));
  return length * n_sewn / n;
}

bool SewnLand::is_clear(Point middle, double radius_mm) const {
  const Box& w = window_;
  if (middle.x - radius_mm < w.x0 || middle.x + radius_mm > w.x1) return false;
  if (middle.y - radius_mm < w.y0 || middle.y + radius_mm > w.y1) return false;
  for (double y = -radius_mm; y <= radius_mm; y += kCell_mm) {
    for (double x = -radius_mm; x <= radius_mm; x += kCell_mm) {
      if (x * x + y * y <= radius_mm * radius_mm && is_sewn(middle + Point{x, y})) return false;
    }
  }
  return true;
}

double leader_cost(const SewnLand& land, Point at, double from_mm, Point pin) {
  const Point begin = at + geometry::unit(pin - at) * from_mm;
  return geometry::distance(at, pin) + kOverStitches * land.sewn_along(begin, pin);
}

std::optional<PinPlace> nearest_pin(const SewnLand& land, Point at, double from_mm,
                                    double radius_mm,
                                    const std::function<bool(const Box&)>& is_free,
                                    const std::function<double(Point)>& extra_mm) {
  std::optional<PinPlace> best;
  constexpr int kWays = 32;
  for (double far = from_mm + radius_mm + 1; far <= kFarthest_mm; far += 1) {
    if (best && best->cost_mm <= far) break;
    for (int k = 0; k < kWays; ++k) {
      const double turn = 2 * base::kPi * k / kWays;
      const Point pin = at + Point{std::cos(turn), std::sin(turn)} * far;
      if (!land.is_clear(pin, radius_mm)) continue;
      if (!is_free({pin.x - radius_mm, pin.y - radius_mm, pin.x + radius_mm, pin.y + radius_mm}))
        continue;
      const double cost = leader_cost(land, at, from_mm, pin) + extra_mm(pin);
      if (!best || cost < best->cost_mm) best = PinPlace{pin, cost};
    }
  }
  return best;
}

}  // namespace buckram::report
