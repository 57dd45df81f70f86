// Curves by arc length, and flattening of the curves that artwork uses.
#pragma once

#include "geometry/point.h"

#include <span>
#include <vector>

namespace buckram::geometry {

// A polyline that can be asked by arc length. Look-ups are O(log n).
class ArcLength {
 public:
  // `closed` joins the last point to the first. Repeated points are skipped. A line without
  // points answers with the origin, one of a single point with that point and direction (1, 0).
  explicit ArcLength(Polyline points, bool closed = false);
  double length() const;
  bool closed() const;
  Point at(double s) const;         // s is clamped to [0, length], or wrapped when closed
  Point direction(double s) const;  // unit tangent of the segment at s
  // s of the place nearest to p. O(n).
  double nearest(Point p) const;
  const Polyline& points() const;

 private:
  std::size_t segment_at(double& s) const;  // brings s into range first

  Polyline points_;
  std::vector<double> s_;  // of every point, and of the first again when closed
  bool closed_;
};

// Points every `step` along the line (the step is shortened so that it divides the length), ends
// included; for a closed line the first point is not repeated.
Polyline resample(const Polyline& line, double step_mm, bool closed = false);
Polyline resample_n(const Polyline& line, int n_points, bool closed = false);
// Gaussian smoothing by arc length with the given sigma; ends of open lines stay in place.
// Returns points every sigma / 4. Law: a straight line stays straight; a circle of radius r
// keeps its middle and shrinks to r exp(-sigma^2 / (2 r^2)).
Polyline smoothed(const Polyline& line, double sigma_mm, bool closed = false);

// Appends the points of a Bezier after its start point, so that no point of the curve is farther
// than `tolerance` from the chain. The end point is appended as given. Holds for curves up to 10^8
// tolerances long; a point that is not finite gives a straight line, or nothing where it is the
// end.
void flatten_quadratic(Point p0, Point p1, Point p2, double tolerance, Polyline& out);
void flatten_cubic(Point p0, Point p1, Point p2, Point p3, double tolerance, Polyline& out);

// An elliptical arc in SVG's end-point form (SVG 1.1, appendix F.6: radii scaled up when too
// small, a zero radius is a straight line). Appends the points after the start point.
struct SvgArc {
  double rx, ry, rotation_rad;
  bool large, sweep;
  Point end;
};
void flatten_arc(Point start, const SvgArc& arc, double tolerance, Polyline& out);

}  // namespace buckram::geometry
