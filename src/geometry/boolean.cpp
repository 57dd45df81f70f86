// The one place that includes Clipper.
#include "geometry/polygon.h"
#include "geometry/rings.h"

#include "base/base.h"

#include <polyclipping/clipper.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace buckram::geometry {

namespace {

namespace cl = ClipperLib;

// Clipper's fast arithmetic ends at 2^30 units; 100 m is far beyond any cap.
constexpr double kFarthestMm = 100'000;
constexpr double kUnitsPerMm = 1 / kGridMm;

cl::cInt to_grid(double mm) {
  if (!(std::abs(mm) <= kFarthestMm)) {
    throw base::Error{
        base::ErrorCode::bad_artwork,
        fmt::format("a coordinate of {} mm; at most {} mm can be worked on", mm, kFarthestMm),
        "outline", "scale the artwork to the size it is to be sewn at"};
  }
  return std::llround(mm * kUnitsPerMm);
}

Point from_grid(const cl::IntPoint& p) {
  return {static_cast<double>(p.X) / kUnitsPerMm, static_cast<double>(p.Y) / kUnitsPerMm};
}

cl::Path to_path(const Ring& ring) {
  cl::Path path;
  path.reserve(ring.size());
  for (const Point p : ring) path.emplace_back(to_grid(p.x), to_grid(p.y));
  return path;
}

void add(cl::Clipper& clipper, const Polygons& polygons, cl::PolyType role) {
  for (const Polygon& polygon : polygons) {
    clipper.AddPath(to_path(polygon.outer), role, true);
    for (const Ring& hole : polygon.holes) clipper.AddPath(to_path(hole), role, true);
  }
}

Ring to_ring(const cl::Path& path, bool is_hole) {
  Ring ring;
  ring.reserve(path.size());
  for (const cl::IntPoint& p : path) ring.push_back(from_grid(p));
  if (cl::Orientation(path) == is_hole) std::reverse(ring.begin(), ring.end());
  return ring;
}

Polygons to_polygons(const cl::PolyTree& tree) {
  Polygons out;
  for (const cl::PolyNode* node = tree.GetFirst(); node != nullptr; node = node->GetNext()) {
    if (node->IsHole() || node->Contour.size() < 3) continue;
    Polygon polygon{to_ring(node->Contour, false), {}};
    for (const cl::PolyNode* hole : node->Childs) {
      if (hole->Contour.size() >= 3) polygon.holes.push_back(to_ring(hole->Contour, true));
    }
    out.push_back(std::move(polygon));
  }
  return out;
}

Polygons run(cl::Clipper& clipper, cl::ClipType operation, cl::PolyFillType rule) {
  cl::PolyTree tree;
  // false when no ring was more than a line: the tree is then empty, which is the answer
  static_cast<void>(clipper.Execute(operation, tree, rule, rule));
  return to_polygons(tree);
}

// The polygons whose boxes meet `box`: what lies apart is not handed to Clipper.
Polygons meeting(const Polygons& polygons, const Box& box) {
  Polygons out;
  for (const Polygon& polygon : polygons) {
    if (bounds(polygon).meets(box, kGridMm)) out.push_back(polygon);
  }
  return out;
}

}  // namespace

Polygons unite(const std::vector<Ring>& rings, FillRule rule) {
  cl::Clipper clipper;
  for (const Ring& ring : rings) clipper.AddPath(to_path(ring), cl::ptSubject, true);
  return run(clipper, cl::ctUnion, rule == FillRule::nonzero ? cl::pftNonZero : cl::pftEvenOdd);
}

Polygons unite(const Polygons& a, const Polygons& b) {
  cl::Clipper clipper;
  add(clipper, a, cl::ptSubject);
  add(clipper, b, cl::ptSubject);
  return run(clipper, cl::ctUnion, cl::pftNonZero);
}

Polygons unite(const std::vector<Polygons>& all) {
  cl::Clipper clipper;
  for (const Polygons& polygons : all) add(clipper, polygons, cl::ptSubject);
  return run(clipper, cl::ctUnion, cl::pftNonZero);
}

Polygons intersect(const Polygons& a, const Polygons& b) {
  const Polygons near_a = meeting(a, bounds(b)), near_b = meeting(b, bounds(a));
  if (near_a.empty() || near_b.empty()) return {};
  cl::Clipper clipper;
  add(clipper, near_a, cl::ptSubject);
  add(clipper, near_b, cl::ptClip);
  return run(clipper, cl::ctIntersection, cl::pftNonZero);
}

Polygons subtract(const Polygons& a, const Polygons& b) {
  if (a.empty()) return {};
  cl::Clipper clipper;
  add(clipper, a, cl::ptSubject);
  add(clipper, meeting(b, bounds(a)), cl::ptClip);
  return run(clipper, cl::ctDifference, cl::pftNonZero);
}

Polygons wound_by(const std::vector<Ring>& rings) {
  cl::Clipper clipper;
  for (const Ring& ring : rings) clipper.AddPath(to_path(ring), cl::ptSubject, true);
  return run(clipper, cl::ctUnion, cl::pftPositive);
}

}  // namespace buckram::geometry
