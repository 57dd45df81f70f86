#include "geometry/curve.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace buckram::geometry {

namespace {

// More pieces than this are never made of one curve: enough for a curve 10^8 tolerances long.
constexpr double kMostPieces = 16384;

bool finite(Point p) {
  return std::isfinite(p.x) && std::isfinite(p.y);
}

int pieces(double exact) {
  return static_cast<int>(std::ceil(std::clamp(exact, 1.0, kMostPieces)));
}

// Equal steps of the parameter that keep a cubic's chain within the tolerance: the error of a
// chord over a step h is at most h^2/8 max|B''|, and |B''| is at most 6 times the larger second
// difference of the control points (Wang, 1984; Sederberg, Computer Aided Geometric Design, 10.6).
double cubic_steps(Point p0, Point p1, Point p2, Point p3, double tolerance) {
  const double second = std::max(norm(p0 - p1 * 2 + p2), norm(p1 - p2 * 2 + p3));
  return std::sqrt(0.75 * second / tolerance);
}

Point on_cubic(Point p0, Point p1, Point p2, Point p3, double t) {
  const double u = 1 - t;
  return p0 * (u * u * u) + p1 * (3 * u * u * t) + p2 * (3 * u * t * t) + p3 * (t * t * t);
}

// Equal steps when the curve bends evenly, halves where halving saves a quarter of the points.
void flatten_part(Point p0, Point p1, Point p2, Point p3, double tolerance, int depth,
                  Polyline& out) {
  const int n = pieces(cubic_steps(p0, p1, p2, p3, tolerance));
  if (n > 3 && depth > 0) {
    const Point a = mix(p0, p1, 0.5), m = mix(p1, p2, 0.5), d = mix(p2, p3, 0.5);
    const Point b = mix(a, m, 0.5), c = mix(m, d, 0.5), middle = mix(b, c, 0.5);
    const int n_halves = pieces(cubic_steps(p0, a, b, middle, tolerance)) +
                         pieces(cubic_steps(middle, c, d, p3, tolerance));
    if (4 * n_halves <= 3 * n) {
      flatten_part(p0, a, b, middle, tolerance, depth - 1, out);
      flatten_part(middle, c, d, p3, tolerance, depth - 1, out);
      return;
    }
  }
  for (int i = 1; i < n; ++i) {
    out.push_back(on_cubic(p0, p1, p2, p3, static_cast<double>(i) / n));
  }
  out.push_back(p3);
}

// Angle from u to v, counter-clockwise positive.
double turn(Point u, Point v) {
  return std::atan2(cross(u, v), dot(u, v));
}

}  // namespace

void flatten_quadratic(Point p0, Point p1, Point p2, double tolerance, Polyline& out) {
  if (!finite(p2)) return;
  if (!finite(p0) || !finite(p1) || !(tolerance > 0)) return out.push_back(p2);
  // A quadratic's chord error is exactly |p0 - 2 p1 + p2| / (4 n^2).
  const int n = pieces(std::sqrt(norm(p0 - p1 * 2 + p2) / (4 * tolerance)));
  for (int i = 1; i < n; ++i) {
    const double t = static_cast<double>(i) / n;
    out.push_back(p0 * ((1 - t) * (1 - t)) + p1 * (2 * t * (1 - t)) + p2 * (t * t));
  }
  out.push_back(p2);
}

void flatten_cubic(Point p0, Point p1, Point p2, Point p3, double tolerance, Polyline& out) {
  if (!finite(p3)) return;
  if (!finite(p0) || !finite(p1) || !finite(p2) || !(tolerance > 0)) return out.push_back(p3);
  constexpr int kDepth = 8;
  flatten_part(p0, p1, p2, p3, tolerance, kDepth, out);
}

void flatten_arc(Point start, const SvgArc& arc, double tolerance, Polyline& out) {
  const Point end = arc.end;
  if (!finite(end)) return;
  double rx = std::abs(arc.rx), ry = std::abs(arc.ry);
  const bool straight = !(rx > 0) || !(ry > 0) || !std::isfinite(rx) || !std::isfinite(ry) ||
                        !std::isfinite(arc.rotation_rad) || !finite(start) || !(tolerance > 0);
  if (start == end) return;  // F.6.2: leaves the arc out
  if (straight) return out.push_back(end);

  // F.6.5, with its names.
  const double c = std::cos(arc.rotation_rad), s = std::sin(arc.rotation_rad);
  const Point half = (start - end) * 0.5;
  const Point q{c * half.x + s * half.y, -s * half.x + c * half.y};
  const double lambda = (q.x / rx) * (q.x / rx) + (q.y / ry) * (q.y / ry);
  if (lambda > 1) rx *= std::sqrt(lambda), ry *= std::sqrt(lambda);
  const double root = lambda > 1 ? 0 : std::sqrt(std::max(0.0, 1 / lambda - 1));
  const double sign = arc.large == arc.sweep ? -1 : 1;
  const Point mid_turned{sign * root * rx * q.y / ry, -sign * root * ry * q.x / rx};
  const Point center =
      Point{c * mid_turned.x - s * mid_turned.y, s * mid_turned.x + c * mid_turned.y} +
      mix(start, end, 0.5);
  const Point u{(q.x - mid_turned.x) / rx, (q.y - mid_turned.y) / ry};
  const Point v{(-q.x - mid_turned.x) / rx, (-q.y - mid_turned.y) / ry};
  const double from = std::atan2(u.y, u.x);
  double swept = lambda >= 1 ? std::numbers::pi : std::abs(turn(u, v));
  if (lambda < 1 && arc.large) swept = 2 * std::numbers::pi - swept;
  if (!arc.sweep) swept = -swept;
  if (!finite(center) || !std::isfinite(from)) return out.push_back(end);

  // An ellipse is a circle stretched by at most its larger radius: sagitta r (1 - cos(step / 2)).
  const double r = std::max(rx, ry);
  const double step = 2 * std::acos(std::max(0.0, 1 - tolerance / r));
  const int n = pieces(step > 0 ? std::abs(swept) / step : kMostPieces);
  for (int i = 1; i < n; ++i) {
    const double angle = from + swept * i / n;
    const Point e{rx * std::cos(angle), ry * std::sin(angle)};
    out.push_back(center + Point{c * e.x - s * e.y, s * e.x + c * e.y});
  }
  out.push_back(end);
}

}  // namespace buckram::geometry
