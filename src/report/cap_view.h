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

// The head is longer than wide: the crown's circles are drawn as ellipses of the same length round,
// whose half axes across and along are in this ratio (estimate, from memory). Angles of the crown
// stay shares of its length round, so that what is sewn keeps its width on the cloth.
inline constexpr double kLongerThanWide = 1.08 / 0.93;

// Such an ellipse for a circle of radius 1.
class HeadEllipse {
 public:
  HeadEllipse();
  double across() const { return across_; }
  double along() const { return along_; }
  // The ellipse's parameter, from the front, after `a` of length round; odd, a line beyond +-pi.
  double parameter(double a) const;

 private:
  double across_ = 1, along_ = 1;
  std::vector<double> parameter_;  // at even steps of length from 0 to pi
};

class CapView {
 public:
  // Turned by `yaw_rad` (positive: its left side, as worn, comes forward) and seen from `pitch_rad`
  // above.
  CapView(const cap::Setup& setup, double yaw_rad, double pitch_rad);
  // The front laid flat, seen from straight above: places are those of the chart, at its true
  // proportions, in even light.
  static CapView laid_flat(const cap::Setup& setup);
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
  HeadEllipse head_;
  bool is_flat_ = false;
  double cos_yaw_, sin_yaw_, cos_pitch_, sin_pitch_, top_;
};

// Angles from the front of the seams that run up to the button, and of the eyelets. A one-piece
// front takes the room of two panels, so that five panels stand where six do with a seam between
// the front two (common practice, no source). Eyelets are where the cap's file has them; behind
// these, in the middle of each panel.
std::vector<double> seam_angles(const cap::Cap& cap);
std::vector<double> eyelet_angles(const cap::Cap& cap, const cap::Profile& profile);
// Arc from the bill seam up to the eyelets, mm.
double eyelet_arc_mm(const cap::Cap& cap);

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
