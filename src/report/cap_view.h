// The cap in the round: the crown swept from its profile, seen from any side, without perspective.
#pragma once

#include "report/picture.h"
#include "report/report.h"

#include <vector>

namespace buckram::report {

struct Vec3 {
  double x = 0, y = 0, z = 0;
};
constexpr Vec3 operator+(Vec3 a, Vec3 b) {
  return {a.x + b.x, a.y + b.y, a.z + b.z};
}
constexpr Vec3 operator-(Vec3 a, Vec3 b) {
  return {a.x - b.x, a.y - b.y, a.z - b.z};
}
constexpr Vec3 operator*(Vec3 a, double k) {
  return {a.x * k, a.y * k, a.z * k};
}
constexpr double dot(Vec3 a, Vec3 b) {
  return a.x * b.x + a.y * b.y + a.z * b.z;
}
Vec3 cross(Vec3 a, Vec3 b);
Vec3 unit(Vec3 a);

// The head is longer than wide: the crown's circles are drawn as ellipses with these factors
// across and along (estimate, from memory).
inline constexpr double kAcross = 0.93, kAlong = 1.08;

class CapView {
 public:
  // Turned by `yaw_rad` (positive: its left side, as worn, comes forward) and seen from `pitch_rad`
  // above.
  CapView(const cap::Setup& setup, double yaw_rad, double pitch_rad);
  // Place on the crown at angle `a` from the front and arc `y` up, `lift_mm` off the cloth.
  Vec3 crown(double a, double y, double lift_mm = 0) const;
  Vec3 on_chart(geometry::Point chart, double lift_mm = 0) const;  // angle = x / r(y)
  Vec3 normal(double a, double y) const;                           // outwards, length 1
  // Picture mm, y down; and how far towards the viewer.
  geometry::Point seen(Vec3 p) const;
  double towards(Vec3 p) const;
  Vec3 in_view(Vec3 direction) const;  // x right, y up, z to the viewer
  // The bill: `t` from -1 to 1 along its seam, `out` from 0 at the seam to 1 at the edge.
  Vec3 bill(double t, double out) const;
  double top() const { return top_; }  // arc to the button
  const cap::Profile& profile() const { return profile_; }
  // Outline of the crown as seen; it is convex, because its profile is.
  geometry::Ring silhouette() const;

 private:
  cap::Profile profile_;
  double cos_yaw_, sin_yaw_, cos_pitch_, sin_pitch_, top_;
};

// The cap as an engraving: its own parallels, heavier on the shaded side; seams, eyelets, button,
// bill; the stitches laid on it in thread colours. Picture mm, true size of the cap.
struct EngravedCap {
  Picture picture;
  geometry::Box extent;
};
EngravedCap engrave_cap(const Subject& subject, double yaw_rad, double pitch_rad, Colour paper);

// Corners of the convex hull, counter-clockwise in a frame with y up (Andrew's monotone chain,
// Information Processing Letters 9(5), 1979). O(n log n).
geometry::Ring convex_hull(std::vector<geometry::Point> points);

}  // namespace buckram::report
