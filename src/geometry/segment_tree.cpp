#include "geometry/segment_tree.h"

#include <algorithm>
#include <cmath>

namespace buckram::geometry {

namespace {

double squared_distance(Point p, const Segment& s) {
  const Point d = s.b - s.a;
  const double dd = dot(d, d);
  const double t = dd > 0 ? std::clamp(dot(p - s.a, d) / dd, 0.0, 1.0) : 0;
  const Point off = s.a + d * t - p;
  return dot(off, off);
}

double squared_distance(Point p, const Box& box) {
  const double x = std::max({box.x0 - p.x, p.x - box.x1, 0.0});
  const double y = std::max({box.y0 - p.y, p.y - box.y1, 0.0});
  return x * x + y * y;
}

}  // namespace

double distance_to_segment(Point p, const Segment& s) {
  return std::sqrt(squared_distance(p, s));
}

SegmentTree::SegmentTree(std::vector<Segment> segments) : segments_(std::move(segments)) {
  if (segments_.empty()) return;
  std::vector<Box> boxes((segments_.size() + kFan - 1) / kFan);
  for (std::size_t i = 0; i < segments_.size(); ++i) {
    boxes[i / kFan].add(segments_[i].a);
    boxes[i / kFan].add(segments_[i].b);
  }
  levels_.push_back(std::move(boxes));
  while (levels_.back().size() > 1) {
    const std::vector<Box>& below = levels_.back();
    std::vector<Box> above((below.size() + kFan - 1) / kFan);
    for (std::size_t i = 0; i < below.size(); ++i) above[i / kFan].add(below[i]);
    levels_.push_back(std::move(above));
  }
}

bool SegmentTree::any_closer(Point p, double r, std::int64_t& budget) const {
  if (!(r > 0)) return false;
  bool found = false;
  const double rr = r * r;
  walk(
      [&](const Box& box) {
        --budget;
        return !found && budget > 0 && squared_distance(p, box) < rr;
      },
      [&](std::size_t i) { found = found || squared_distance(p, segments_[i]) < rr; });
  return found;
}

}  // namespace buckram::geometry
