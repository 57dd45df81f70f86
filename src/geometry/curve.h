// Curves by arc length, and flattening of the curves that artwork uses.
#pragma once

#include "geometry/point.h"

#include <span>
#include <vector>

namespace buckram::geometry {

// A polyline that can be asked by arc length. Look-ups are O(log n).
class ArcLength {
 public:
  // `closed` joins the last point to the first. Repeated points are skipped.
  explicit ArcLength(Polyline points, bool closed = false);
  double length() const;
  bool closed() const;
  Point at(double s) const;          // s is clamped to [0, length], or wrapped when closed
  Point direction(double s) const;   // unit tangent of the segment at s
  // s of the place nearest to p. O(n).
  double nearest(Point p) const;
  const Polyline& points() const;

 private:
  Polyline points_;
  std::vector<double> s_;
  bool closed_;
};

// Points every `step` along the line (the step is shortened so that it divides the length), ends
// included; for a closed line the first point is not repeated.
Polyline resample(const Polyline& line, double step_mm, bool closed = false);
Polyline resample_n(const Polyline& line, int n_points, bool closed = false);
// Gaussian smoothing by arc length with the given sigma; ends of open lines stay in place.
Polyline smoothed(const Polyline& line, double sigma_mm, bool closed = false);

// Appends the points of a Bezier after its start point, so that no point of the curve is farther
// than `tolerance` from the chain.
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
