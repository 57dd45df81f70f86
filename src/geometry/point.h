// Points, boxes, affine maps and the containers of points that everything shares.
#pragma once

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

namespace buckram::geometry {

struct Point {
  double x = 0;  // mm unless a function says otherwise
  double y = 0;
  friend bool operator==(const Point&, const Point&) = default;
};

constexpr Point operator+(Point a, Point b) {
  return {a.x + b.x, a.y + b.y};
}
constexpr Point operator-(Point a, Point b) {
  return {a.x - b.x, a.y - b.y};
}
constexpr Point operator*(Point a, double k) {
  return {a.x * k, a.y * k};
}
constexpr double dot(Point a, Point b) {
  return a.x * b.x + a.y * b.y;
}
constexpr double cross(Point a, Point b) {
  return a.x * b.y - a.y * b.x;
}
constexpr Point left_of(Point d) {
  return {-d.y, d.x};
}  // a quarter turn counter-clockwise
inline double norm(Point a) {
  return std::sqrt(a.x * a.x + a.y * a.y);
}
inline double distance(Point a, Point b) {
  return norm(b - a);
}
constexpr Point mix(Point a, Point b, double t) {
  return {a.x + (b.x - a.x) * t, a.y + (b.y - a.y) * t};
}
// The direction of `a` with length 1; {0, 0} stays as it is.
inline Point unit(Point a) {
  const double n = norm(a);
  return n > 0 ? a * (1 / n) : a;
}

using Polyline = std::vector<Point>;  // open
using Ring = std::vector<Point>;      // closed; the last point is joined to the first, not repeated

struct Box {
  double x0 = std::numeric_limits<double>::infinity();
  double y0 = std::numeric_limits<double>::infinity();
  double x1 = -std::numeric_limits<double>::infinity();
  double y1 = -std::numeric_limits<double>::infinity();

  constexpr bool empty() const { return !(x0 <= x1 && y0 <= y1); }
  constexpr double width() const { return x1 - x0; }
  constexpr double height() const { return y1 - y0; }
  constexpr Point middle() const { return {(x0 + x1) / 2, (y0 + y1) / 2}; }
  constexpr void add(Point p) {
    x0 = std::min(x0, p.x), y0 = std::min(y0, p.y);
    x1 = std::max(x1, p.x), y1 = std::max(y1, p.y);
  }
  constexpr void add(const Box& b) {
    x0 = std::min(x0, b.x0), y0 = std::min(y0, b.y0);
    x1 = std::max(x1, b.x1), y1 = std::max(y1, b.y1);
  }
  constexpr bool meets(const Box& b, double margin = 0) const {
    return x0 <= b.x1 + margin && b.x0 <= x1 + margin && y0 <= b.y1 + margin && b.y0 <= y1 + margin;
  }
  friend bool operator==(const Box&, const Box&) = default;
};

// x' = a x + c y + e, y' = b x + d y + f (SVG's order of letters).
struct Affine {
  double a = 1, b = 0, c = 0, d = 1, e = 0, f = 0;

  constexpr Point operator()(Point p) const {
    return {a * p.x + c * p.y + e, b * p.x + d * p.y + f};
  }
  constexpr double determinant() const { return a * d - b * c; }
  friend bool operator==(const Affine&, const Affine&) = default;
};

// First `inner`, then `outer`.
constexpr Affine compose(const Affine& outer, const Affine& inner) {
  return {outer.a * inner.a + outer.c * inner.b,
          outer.b * inner.a + outer.d * inner.b,
          outer.a * inner.c + outer.c * inner.d,
          outer.b * inner.c + outer.d * inner.d,
          outer.a * inner.e + outer.c * inner.f + outer.e,
          outer.b * inner.e + outer.d * inner.f + outer.f};
}
// Requires determinant != 0.
constexpr Affine inverse(const Affine& m) {
  const double k = 1 / m.determinant();
  return {m.d * k,
          -m.b * k,
          -m.c * k,
          m.a * k,
          (m.c * m.f - m.d * m.e) * k,
          (m.b * m.e - m.a * m.f) * k};
}
// Square root of |determinant|: how much lengths grow on average.
inline double mean_scale(const Affine& m) {
  return std::sqrt(std::abs(m.determinant()));
}
// Counter-clockwise about the origin.
inline Affine rotation(double angle_rad) {
  const double c = std::cos(angle_rad), s = std::sin(angle_rad);
  return {c, s, -s, c, 0, 0};
}

}  // namespace buckram::geometry
