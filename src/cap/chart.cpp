#include "cap/crown.h"

#include <algorithm>
#include <cmath>

namespace buckram::cap {
namespace {

// Below this radius the crown is all but the button; the maps are held there, so that a point
// beyond it cannot send the machine to infinity.
constexpr double kLeastRadiusMm = 1;

}  // namespace

Chart::Chart(const Setup& setup)
    : profile_(setup.cap.crown), kind_(setup.mount.kind), frame_radius_mm_(setup.cap.crown.r0_mm) {}

geometry::Point Chart::to_machine(geometry::Point chart) const {
  if (kind_ == MountKind::flat) return chart;
  const double r = std::max(kLeastRadiusMm, profile_.radius(chart.y));
  // Below the bill seam the profile is carried on straight, so that the map stays one to one.
  const double z = chart.y < 0 ? chart.y : profile_.height(chart.y);
  return {chart.x * frame_radius_mm_ / r, z};
}

geometry::Point Chart::from_machine(geometry::Point machine) const {
  if (kind_ == MountKind::flat) return machine;
  const double y = machine.y < 0 ? machine.y : profile_.y_at_height(machine.y);
  const double r = std::max(kLeastRadiusMm, profile_.radius(y));
  return {machine.x * r / frame_radius_mm_, y};
}

SpacePoint Chart::to_space(geometry::Point chart) const {
  const double r = std::max(kLeastRadiusMm, profile_.radius(chart.y));
  const double angle = chart.x / r;
  return {r * std::sin(angle), -r * std::cos(angle), profile_.height(chart.y)};
}

const Profile& Chart::profile() const {
  return profile_;
}

}  // namespace buckram::cap
