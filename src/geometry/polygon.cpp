#include "geometry/polygon.h"

#include "geometry/rings.h"

#include <algorithm>
#include <cmath>

namespace buckram::geometry {

double area(std::span<const Point> ring) {
  if (ring.size() < 3) return 0;
  double twice = 0;
  const Point o = ring.front();  // near the ring, so that far-away rings keep their digits
  for (std::size_t i = 1; i + 1 < ring.size(); ++i) twice += cross(ring[i] - o, ring[i + 1] - o);
  return twice / 2;
}

double area(const Polygon& polygon) {
  double sum = std::abs(area(polygon.outer));
  for (const Ring& hole : polygon.holes) sum -= std::abs(area(hole));
  return sum;
}

double area(const Polygons& polygons) {
  double sum = 0;
  for (const Polygon& polygon : polygons) sum += area(polygon);
  return sum;
}

Box bounds(std::span<const Point> points) {
  Box box;
  for (const Point p : points) box.add(p);
  return box;
}

Box bounds(const Polygon& polygon) {
  return bounds(std::span<const Point>(polygon.outer));
}

Box bounds(const Polygons& polygons) {
  Box box;
  for (const Polygon& polygon : polygons) box.add(bounds(polygon));
  return box;
}

double length(std::span<const Point> polyline) {
  double sum = 0;
  for (std::size_t i = 1; i < polyline.size(); ++i) sum += distance(polyline[i - 1], polyline[i]);
  return sum;
}

double perimeter(const Polygons& polygons) {
  double sum = 0;
  const auto add = [&sum](const Ring& ring) {
    if (!ring.empty()) sum += length(ring) + distance(ring.back(), ring.front());
  };
  for (const Polygon& polygon : polygons) {
    add(polygon.outer);
    for (const Ring& hole : polygon.holes) add(hole);
  }
  return sum;
}

double mean_width(const Polygon& polygon) {
  return 2 * area(polygon) / std::max(perimeter({polygon}), 1e-12);
}

Ring reversed(Ring ring) {
  std::reverse(ring.begin(), ring.end());
  return ring;
}

Polyline transformed(const Polyline& polyline, const Affine& map) {
  Polyline out;
  out.reserve(polyline.size());
  for (const Point p : polyline) out.push_back(map(p));
  return out;
}

Polygon transformed(const Polygon& polygon, const Affine& map) {
  const bool flips = map.determinant() < 0;
  const auto mapped = [&](const Ring& ring) {
    Ring out = transformed(static_cast<const Polyline&>(ring), map);
    return flips ? reversed(std::move(out)) : out;
  };
  Polygon out{mapped(polygon.outer), {}};
  for (const Ring& hole : polygon.holes) out.holes.push_back(mapped(hole));
  return out;
}

Polygons transformed(const Polygons& polygons, const Affine& map) {
  Polygons out;
  out.reserve(polygons.size());
  for (const Polygon& polygon : polygons) out.push_back(transformed(polygon, map));
  return out;
}

namespace {

// Whether a ray from p to the right crosses the ring an odd number of times.
bool odd_crossings(const Ring& ring, Point p) {
  bool odd = false;
  if (ring.empty()) return odd;
  Point a = ring.back();
  for (const Point b : ring) {
    if ((a.y <= p.y) != (b.y <= p.y)) {
      const double side = cross(b - a, p - a);
      if ((side > 0) == (b.y > a.y) && side != 0) odd = !odd;
    }
    a = b;
  }
  return odd;
}

double squared_distance(Point p, const Ring& ring, double best) {
  if (ring.empty()) return best;
  Point a = ring.back();
  for (const Point b : ring) {
    best = std::min(best, squared_distance(p, a, b));
    a = b;
  }
  return best;
}

}  // namespace

double squared_distance(Point p, Point a, Point b) {
  const Point d = b - a;
  const double dd = dot(d, d);
  const double t = dd > 0 ? std::clamp(dot(p - a, d) / dd, 0.0, 1.0) : 0;
  const Point off = a + d * t - p;
  return dot(off, off);
}

bool contains(const Polygon& polygon, Point p) {
  if (!odd_crossings(polygon.outer, p)) return false;
  for (const Ring& hole : polygon.holes) {
    if (odd_crossings(hole, p)) return false;
  }
  return true;
}

bool contains(const Polygons& polygons, Point p) {
  return std::any_of(polygons.begin(), polygons.end(),
                     [p](const Polygon& polygon) { return contains(polygon, p); });
}

double distance_to_outline(const Polygons& polygons, Point p) {
  double best = std::numeric_limits<double>::infinity();
  for (const Polygon& polygon : polygons) {
    best = squared_distance(p, polygon.outer, best);
    for (const Ring& hole : polygon.holes) best = squared_distance(p, hole, best);
  }
  return std::sqrt(best);
}

}  // namespace buckram::geometry
