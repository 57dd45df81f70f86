// Offsets and strokes as one chain per side of a line.
//
// Beside a line lie a rectangle for every segment and, on the outer side of every corner, the
// join's piece (sector, triangle, kite). All turn counter-clockwise, and the sum of their
// boundaries is a single chain that walks along the side, goes round the outer corners by the
// join and through the corner itself at the inner ones. So the winding number of the chain counts
// the pieces over a point, and the pieces' union is what winds at least once: exact for strokes
// that overlap themselves. For an outline the chain's winding is that of the polygon plus the
// pieces outside it, or minus those inside it, and the same rule gives the dilation and the
// erosion.
#include "geometry/polygon.h"
#include "geometry/rings.h"

#include "base/base.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace buckram::geometry {

namespace {

// Shorter segments have no direction worth following.
constexpr double kNoLengthMm = 1e-7;

struct Side {
  double h;  // distance of the chain to the right of the walk; negative: to the left
  Join join;
  double miter_limit;
  double arc_step_rad;
};

Point right_of(Point d) {
  return {d.y, -d.x};
}

double arc_step(double radius, double tolerance) {
  return 2 * std::acos(std::max(0.0, 1 - tolerance / std::abs(radius)));
}

// Points of the circle about p, from p + from on, turned by up to `sweep`; both ends left out.
void add_arc(Point p, Point from, double sweep, double step, Ring& out) {
  const int n = static_cast<int>(std::ceil(std::abs(sweep) / step - 1e-9));
  for (int i = 1; i < n; ++i) {
    const double c = std::cos(sweep * i / n), s = std::sin(sweep * i / n);
    out.push_back(p + Point{from.x * c - from.y * s, from.x * s + from.y * c});
  }
}

// The chain round the corner p between unit directions u and v.
void add_corner(Point p, Point u, Point v, const Side& side, Ring& out) {
  const double turn = cross(u, v), along = dot(u, v);
  const Point from = right_of(u) * side.h, to = right_of(v) * side.h;
  const bool turns_back = turn == 0 && along < 0;
  out.push_back(p + from);
  if (turn * side.h < 0) {
    out.push_back(p);  // inner side: through the corner
  } else if (side.join == Join::round) {
    const double sweep =
        turns_back ? std::copysign(std::numbers::pi, side.h) : std::atan2(turn, along);
    add_arc(p, from, sweep, side.arc_step_rad, out);
  } else if (side.join == Join::miter && !turns_back) {
    // miter length / width = 1 / sin(theta / 2) = 1 / cos(turn angle / 2)
    const double half_cos = std::sqrt(std::max(0.0, (1 + along) / 2));
    if (half_cos * side.miter_limit >= 1) out.push_back(p + (from + to) * (1 / (1 + along)));
  }
  out.push_back(p + to);
}

Polyline without_short_steps(const Polyline& line, bool closed) {
  Polyline out;
  for (const Point p : line) {
    if (out.empty() || distance(out.back(), p) > kNoLengthMm) out.push_back(p);
  }
  while (closed && out.size() > 1 && distance(out.front(), out.back()) <= kNoLengthMm) {
    out.pop_back();
  }
  return out;
}

// Both expect lines without short steps, of two points at least.
Ring closed_side(const Polyline& line, const Side& side) {
  const std::size_t n = line.size();
  Ring out;
  for (std::size_t i = 0; i < n; ++i) {
    const Point before = line[(i + n - 1) % n], p = line[i], after = line[(i + 1) % n];
    add_corner(p, unit(p - before), unit(after - p), side, out);
  }
  return out;
}

void add_open_side(const Polyline& line, const Side& side, Ring& out) {
  for (std::size_t i = 1; i + 1 < line.size(); ++i) {
    add_corner(line[i], unit(line[i] - line[i - 1]), unit(line[i + 1] - line[i]), side, out);
  }
}

// The cap at p where the walk arrives in direction d, from the right side to the left.
void add_cap(Point p, Point d, Cap cap, const Side& side, Ring& out) {
  const Point right = right_of(d) * side.h;
  const Point ahead = cap == Cap::square ? d * side.h : Point{};
  out.push_back(p + right + ahead);
  if (cap == Cap::round) add_arc(p, right, std::numbers::pi, side.arc_step_rad, out);
  out.push_back(p - right + ahead);
}

// SVG 1.1, 11.4: a subpath of zero length shows its caps, a square along the x axis.
std::vector<Ring> dot_outline(Point p, Cap cap, const Side& side) {
  Ring out;
  if (cap == Cap::butt) return {};
  add_cap(p, {1, 0}, cap, side, out);
  add_cap(p, {-1, 0}, cap, side, out);
  return {out};
}

}  // namespace

Polygons offset(const Polygons& polygons, double distance_mm, Join join, double arc_tolerance_mm,
                double miter_limit) {
  BUCKRAM_ASSERT(std::isfinite(distance_mm) && arc_tolerance_mm > 0 && miter_limit >= 1);
  // Half of the tolerance goes to thinning the outline first, half to the arcs: the chain of a
  // dense outline crosses itself (distance / edge length) times at every vertex.
  const double half_tolerance = arc_tolerance_mm / 2;
  const Side side{distance_mm, join, miter_limit, arc_step(distance_mm, half_tolerance)};
  std::vector<Ring> chains;
  const auto add_ring = [&](const Ring& ring) {
    const Ring thin = without_short_steps(thinned(ring, half_tolerance), true);
    if (thin.size() >= 3) chains.push_back(closed_side(thin, side));
  };
  for (const Polygon& polygon : polygons) {
    add_ring(polygon.outer);
    for (const Ring& hole : polygon.holes) add_ring(hole);
  }
  return wound_by(chains);
}

Polygons stroke_outline(const Polyline& line, double width_mm, bool closed, Join join, Cap cap,
                        double miter_limit, double arc_tolerance_mm) {
  BUCKRAM_ASSERT(arc_tolerance_mm > 0 && miter_limit >= 1);
  if (!(width_mm > 0) || line.empty()) return {};
  const double h = width_mm / 2;
  const Side side{h, join, miter_limit, arc_step(h, arc_tolerance_mm)};
  const Polyline there = without_short_steps(line, closed);
  if (there.size() < 2) return wound_by(dot_outline(there.front(), cap, side));
  const Polyline back = reversed(there);
  if (closed) return wound_by({closed_side(there, side), closed_side(back, side)});
  Ring chain;
  add_open_side(there, side, chain);
  add_cap(there.back(), unit(there.back() - there[there.size() - 2]), cap, side, chain);
  add_open_side(back, side, chain);
  add_cap(back.back(), unit(back.back() - back[back.size() - 2]), cap, side, chain);
  return wound_by({chain});
}

}  // namespace buckram::geometry
