#include "geometry/medial_inner.h"
#include "geometry/segment_tree.h"

#include <algorithm>
#include <cmath>

namespace buckram::geometry {

namespace {

using Part = VoronoiSite::Part;

// The sweep's coordinates are good to 64 ULP; what is off by a twentieth of a unit (5 nm at the
// usual scale) is another diagram.
constexpr double kTolerance = 0.05;
double tolerance_at(double radius) {
  return kTolerance + 1e-7 * radius;
}

std::size_t index(int i) {
  return static_cast<std::size_t>(i);
}

struct Corners {
  std::vector<char> is_corner;  // two or more segments meet here, not in one line
  std::vector<char> is_convex;  // two segments meet here and turn left
};

Corners corners_of(const GridOutline& outline) {
  const std::size_t n = outline.vertices.size();
  std::vector<int> in(n, -1), out(n, -1), degree(n, 0);
  for (std::size_t i = 0; i < outline.segments.size(); ++i) {
    const GridSegment& s = outline.segments[i];
    out[index(s.from)] = s.to;
    in[index(s.to)] = s.from;
    ++degree[index(s.from)], ++degree[index(s.to)];
  }
  Corners corners{std::vector<char>(n, 0), std::vector<char>(n, 0)};
  for (std::size_t v = 0; v < n; ++v) {
    if (degree[v] != 2 || in[v] < 0 || out[v] < 0) {
      corners.is_corner[v] = degree[v] > 0;
      continue;
    }
    const GridPoint p = outline.vertices[v];
    const GridPoint a = outline.vertices[index(in[v])], b = outline.vertices[index(out[v])];
    const std::int64_t turn = (p.x - a.x) * (b.y - p.y) - (p.y - a.y) * (b.x - p.x);
    corners.is_corner[v] = turn != 0;
    corners.is_convex[v] = turn > 0;
  }
  return corners;
}

void mark_reached(const GridOutline& outline, const VoronoiSite& site, Point p,
                  std::vector<char>& reached) {
  const GridSegment& s = outline.segments[index(site.segment)];
  for (const int v : {s.from, s.to}) {
    const Point off = to_point(outline.vertices[index(v)]) - p;
    if (std::abs(off.x) <= kTolerance && std::abs(off.y) <= kTolerance) reached[index(v)] = 1;
  }
}

bool all_finite(const VoronoiDiagram& diagram) {
  return std::all_of(diagram.vertices.begin(), diagram.vertices.end(),
                     [](Point p) { return std::isfinite(p.x) && std::isfinite(p.y); });
}

bool has_all_corners(const GridOutline& outline, const VoronoiDiagram& diagram,
                     const Corners& corners) {
  std::vector<char> reached(outline.vertices.size(), 0);
  for (const VoronoiEdge& edge : diagram.edges) {
    for (const int v : edge.vertices) {
      if (v < 0) continue;
      for (const VoronoiSite& site : edge.sites) {
        mark_reached(outline, site, diagram.vertices[index(v)], reached);
      }
    }
  }
  for (std::size_t v = 0; v < reached.size(); ++v) {
    if (corners.is_corner[v] && !reached[v]) return false;
  }
  return true;
}

bool convex_corners_have_axis(const GridOutline& outline, const InnerDiagram& inner,
                              const Corners& corners) {
  std::vector<char> reached(outline.vertices.size(), 0);
  for (const InnerEdge& edge : inner.edges) {
    for (const int v : {edge.from, edge.to}) {
      for (const VoronoiSite& site : edge.sites) {
        mark_reached(outline, site, inner.vertices[index(v)], reached);
      }
    }
  }
  for (std::size_t v = 0; v < reached.size(); ++v) {
    if (corners.is_convex[v] && !reached[v]) return false;
  }
  return true;
}

bool is_equidistant(const GridOutline& outline, const InnerEdge& edge, Point p) {
  const double r0 = distance(p, nearest_on(outline, edge.sites[0], p));
  const double r1 = distance(p, nearest_on(outline, edge.sites[1], p));
  return std::abs(r0 - r1) <= tolerance_at(r0);
}

bool has_loose_end(const GridOutline& outline, const InnerDiagram& inner) {
  std::vector<int> degree(inner.vertices.size(), 0);
  for (const InnerEdge& edge : inner.edges) ++degree[index(edge.from)], ++degree[index(edge.to)];
  return std::any_of(inner.edges.begin(), inner.edges.end(), [&](const InnerEdge& edge) {
    for (const int v : {edge.from, edge.to}) {
      const Point p = inner.vertices[index(v)];
      if (degree[index(v)] != 1) continue;
      if (distance(p, nearest_on(outline, edge.sites[0], p)) > 1) return true;
    }
    return false;
  });
}

// A disc that touches a round outline all along would visit it all; together the edges look at
// no more than this many boxes and segments per segment, and what is left is not looked at.
constexpr std::int64_t kLooksPerSegment = 400;

Flaw flaw_of_edges(const GridOutline& outline, const InnerDiagram& inner) {
  std::vector<Segment> segments;
  segments.reserve(outline.segments.size());
  for (const GridSegment& s : outline.segments) {
    segments.push_back(
        {to_point(outline.vertices[index(s.from)]), to_point(outline.vertices[index(s.to)])});
  }
  const SegmentTree tree(std::move(segments));
  std::int64_t budget = kLooksPerSegment * static_cast<std::int64_t>(outline.segments.size());
  for (const InnerEdge& edge : inner.edges) {
    const Point a = inner.vertices[index(edge.from)], b = inner.vertices[index(edge.to)];
    const Point middle = bisector(outline, edge, a, b).at(0.5);
    for (const Point p : {a, middle, b}) {
      if (!is_equidistant(outline, edge, p)) return Flaw::not_equidistant;
    }
    const double r = distance(middle, nearest_on(outline, edge.sites[0], middle));
    if (tree.any_closer(middle, r - tolerance_at(r), budget)) return Flaw::not_nearest;
  }
  return Flaw::none;
}

}  // namespace

Flaw flaw_of(const GridOutline& outline, const VoronoiDiagram& diagram, const InnerDiagram& inner) {
  if (!outline.is_clean) return Flaw::outline_crosses;
  if (!all_finite(diagram)) return Flaw::not_finite;
  const Corners corners = corners_of(outline);
  if (!has_all_corners(outline, diagram, corners)) return Flaw::vertex_missing;
  if (!convex_corners_have_axis(outline, inner, corners)) return Flaw::corner_without_axis;
  if (has_loose_end(outline, inner)) return Flaw::loose_end;
  return flaw_of_edges(outline, inner);
}

}  // namespace buckram::geometry
