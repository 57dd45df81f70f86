#include "digitise/feet.h"

#include <algorithm>
#include <cmath>

namespace buckram::digitise {
namespace {

using geometry::Point;

Point nearest_on_outline(const geometry::Polygon& polygon, Point p) {
  Point best = p;
  double best_mm = INFINITY;
  const auto ring_nearest = [&](const geometry::Ring& ring) {
    for (std::size_t i = 0; i < ring.size(); ++i) {
      const Point a = ring[i], d = ring[(i + 1) % ring.size()] - a;
      const double dd = geometry::dot(d, d);
      const double t = dd > 0 ? std::clamp(geometry::dot(p - a, d) / dd, 0.0, 1.0) : 0;
      const double mm = geometry::distance(a + d * t, p);
      if (mm < best_mm) best_mm = mm, best = a + d * t;
    }
  };
  ring_nearest(polygon.outer);
  for (const auto& hole : polygon.holes) ring_nearest(hole);
  return best;
}

// Whether the foot belongs to both ends of the edge: a corner of the outline that it turns about.
bool stays(const geometry::MedialNode& a, const geometry::MedialNode& b, Point foot) {
  constexpr double kSameMm = 1e-3;
  return std::abs(geometry::distance(a.at, foot) - a.radius_mm) < kSameMm &&
         std::abs(geometry::distance(b.at, foot) - b.radius_mm) < kSameMm;
}

}  // namespace

Feet feet_at(const AxisGraph& graph, const geometry::Polygon& polygon, int from, int to, double t) {
  const auto& a = graph.node(from);
  const auto& b = graph.node(to);
  const double length = geometry::distance(a.at, b.at);
  const Point d = geometry::unit(b.at - a.at);
  const double slope = length > 0 ? std::clamp((b.radius_mm - a.radius_mm) / length, -1.0, 1.0) : 0;
  const double r = a.radius_mm + (b.radius_mm - a.radius_mm) * t;
  const Point p = geometry::mix(a.at, b.at, t);
  const Point back = d * (-slope * r);
  const Point side = geometry::left_of(d) * (r * std::sqrt(1 - slope * slope));
  Feet feet{p + back + side, p + back - side};
  const auto& edge = graph.axis.edges[graph.edge_between(from, to)];
  for (const Point corner : {edge.foot_left, edge.foot_right}) {
    if (!stays(a, b, corner)) continue;
    (geometry::cross(d, corner - p) > 0 ? feet.left : feet.right) = corner;
  }
  return {nearest_on_outline(polygon, feet.left), nearest_on_outline(polygon, feet.right)};
}

}  // namespace buckram::digitise
