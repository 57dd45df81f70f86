// A polyline against polygons. Every segment is taken as one hatch row along its own line: all
// crossings of the infinite line, half-open at the vertices, summed by winding. So the state
// inside or outside never depends on a point that lies on the outline.
#include "geometry/polygon.h"

#include <algorithm>
#include <cmath>

namespace buckram::geometry {

namespace {

struct Crossing {
  double at;  // along the line, mm from a
  int winding;
};

struct Stretch {
  double from, to;  // mm from a
};

struct Line {
  Point a, along;
  Point local(Point p) const { return {dot(p - a, along), cross(along, p - a)}; }
};

void add_crossings(const Ring& ring, const Line& line, std::vector<Crossing>& out) {
  if (ring.size() < 3) return;
  Point p = line.local(ring.back());
  for (const Point vertex : ring) {
    const Point q = line.local(vertex);
    if ((p.y <= 0) != (q.y <= 0)) {
      out.push_back({p.x - p.y / (q.y - p.y) * (q.x - p.x), q.y > p.y ? 1 : -1});
    }
    p = q;
  }
}

// Where the line through a in direction `along` is inside, within [0, length], in order and not
// touching.
std::vector<Stretch> stretches_inside(const Line& line, double length,
                                      const std::vector<const Polygon*>& polygons) {
  std::vector<Crossing> crossings;
  for (const Polygon* polygon : polygons) {
    add_crossings(polygon->outer, line, crossings);
    for (const Ring& hole : polygon->holes) add_crossings(hole, line, crossings);
  }
  std::sort(crossings.begin(), crossings.end(), [](const Crossing& a, const Crossing& b) {
    return a.at != b.at ? a.at < b.at : a.winding < b.winding;
  });
  std::vector<Stretch> out;
  int winding = 0;
  for (std::size_t i = 0; i < crossings.size(); ++i) {
    winding += crossings[i].winding;
    if (winding == 0 || i + 1 == crossings.size()) continue;
    const double from = std::max(0.0, crossings[i].at);
    const double to = std::min(length, crossings[i + 1].at);
    if (!(from < to)) continue;
    if (!out.empty() && from <= out.back().to) {
      out.back().to = to;
    } else {
      out.push_back({from, to});
    }
  }
  return out;
}

std::vector<const Polygon*> meeting(const Polygons& polygons, const std::vector<Box>& boxes,
                                    Point a, Point b) {
  Box box;
  box.add(a);
  box.add(b);
  std::vector<const Polygon*> out;
  for (std::size_t i = 0; i < polygons.size(); ++i) {
    if (boxes[i].meets(box, kGridMm)) out.push_back(&polygons[i]);
  }
  return out;
}

std::vector<Box> boxes_of(const Polygons& polygons) {
  std::vector<Box> boxes;
  boxes.reserve(polygons.size());
  for (const Polygon& polygon : polygons) boxes.push_back(bounds(polygon));
  return boxes;
}

// Whether a stretch outside the polygons never leaves the outline by more than the grid.
bool hugs_outline(const Line& line, Stretch gap, const Polygons& polygons) {
  if (gap.to - gap.from <= 2 * kGridMm) return true;
  for (const double t : {0.5, 0.25, 0.75, 0.0, 1.0}) {
    const Point p = line.a + line.along * (gap.from + t * (gap.to - gap.from));
    if (distance_to_outline(polygons, p) > kGridMm) return false;
  }
  return true;
}

}  // namespace

std::vector<Polyline> clip(const Polyline& polyline, const Polygons& polygons) {
  constexpr double kNoLengthMm = 1e-9;
  const std::vector<Box> boxes = boxes_of(polygons);
  std::vector<Polyline> out;
  bool goes_on = false;  // the last part reaches the start of this segment
  for (std::size_t i = 1; i < polyline.size(); ++i) {
    const Point a = polyline[i - 1], b = polyline[i];
    const double length = distance(a, b);
    if (!(length > 0)) continue;
    const Line line{a, (b - a) * (1 / length)};
    const auto near = meeting(polygons, boxes, a, b);
    bool reaches_end = false;
    for (const Stretch& s : stretches_inside(line, length, near)) {
      if (!(goes_on && s.from <= kNoLengthMm)) {
        out.push_back({s.from <= kNoLengthMm ? a : a + line.along * s.from});
      }
      reaches_end = s.to >= length - kNoLengthMm;
      out.back().push_back(reaches_end ? b : a + line.along * s.to);
    }
    goes_on = reaches_end;
  }
  std::erase_if(out, [](const Polyline& part) { return length(part) <= kNoLengthMm; });
  return out;
}

bool inside(Point a, Point b, const Polygons& polygons) {
  const double length = distance(a, b);
  if (!(length > 0)) return contains(polygons, a) || distance_to_outline(polygons, a) <= kGridMm;
  const Line line{a, (b - a) * (1 / length)};
  const auto near = meeting(polygons, boxes_of(polygons), a, b);
  double reached = 0;
  for (const Stretch& s : stretches_inside(line, length, near)) {
    if (s.from > reached && !hugs_outline(line, {reached, s.from}, polygons)) return false;
    reached = s.to;
  }
  return reached >= length || hugs_outline(line, {reached, length}, polygons);
}

}  // namespace buckram::geometry
