#include "geometry/medial_inner.h"

#include "geometry/segment_tree.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>

namespace buckram::geometry {

namespace {

using Part = VoronoiSite::Part;

// Edges shorter than this are none: a ten-thousandth of the outline's own rounding.
constexpr double kNoLength = 1e-2;

std::size_t index(int i) {
  return static_cast<std::size_t>(i);
}

Segment whole(const GridOutline& outline, int segment) {
  const GridSegment& s = outline.segments[index(segment)];
  return {to_point(outline.vertices[index(s.from)]), to_point(outline.vertices[index(s.to)])};
}

// The segments that start or end at each vertex, as directions away from it.
class Spokes {
 public:
  explicit Spokes(const GridOutline& outline) : first_(outline.vertices.size() + 1, 0) {
    for (const GridSegment& s : outline.segments)
      ++first_[index(s.from) + 1], ++first_[index(s.to) + 1];
    std::partial_sum(first_.begin(), first_.end(), first_.begin());
    spokes_.resize(2 * outline.segments.size());
    std::vector<std::size_t> next(first_.begin(), first_.end() - 1);
    for (const GridSegment& s : outline.segments) {
      const Point d =
          to_point(outline.vertices[index(s.to)]) - to_point(outline.vertices[index(s.from)]);
      spokes_[next[index(s.from)]++] = {d, true};
      spokes_[next[index(s.to)]++] = {d * -1, false};
    }
  }

  // Whether direction d leaves the vertex to the inside: the first spoke clockwise of it starts
  // there, and so has it on its left.
  bool leads_inside(int vertex, Point d) const {
    double least = std::numeric_limits<double>::infinity();
    bool inside = false;
    for (std::size_t i = first_[index(vertex)]; i < first_[index(vertex) + 1]; ++i) {
      double turn = std::atan2(cross(spokes_[i].away, d), dot(spokes_[i].away, d));
      if (turn <= 0) turn += 2 * std::numbers::pi;
      if (turn < least) least = turn, inside = spokes_[i].starts;
    }
    return inside;
  }

 private:
  struct Spoke {
    Point away;
    bool starts;
  };
  std::vector<std::size_t> first_;
  std::vector<Spoke> spokes_;
};

bool lies_inside(const GridOutline& outline, const Spokes& spokes, const VoronoiEdge& edge,
                 Point middle) {
  for (const VoronoiSite& site : edge.sites) {
    if (site.part != Part::whole) continue;
    const Segment s = whole(outline, site.segment);
    return cross(s.b - s.a, middle - s.a) > 0;
  }
  const int vertex = vertex_of(outline, edge.sites[0]);
  return spokes.leads_inside(vertex, middle - to_point(outline.vertices[index(vertex)]));
}

class Merger {
 public:
  explicit Merger(std::size_t n) : parent_(n) { std::iota(parent_.begin(), parent_.end(), 0); }
  int root(int i) {
    while (parent_[index(i)] != i) i = parent_[index(i)] = parent_[index(parent_[index(i)])];
    return i;
  }
  void merge(int a, int b) {
    a = root(a), b = root(b);
    parent_[index(std::max(a, b))] = std::min(a, b);
  }

 private:
  std::vector<int> parent_;
};

bool is_finite(const VoronoiDiagram& diagram, const VoronoiEdge& edge) {
  return std::all_of(edge.vertices.begin(), edge.vertices.end(), [&](int v) {
    if (v < 0) return false;
    const Point p = diagram.vertices[index(v)];
    return std::isfinite(p.x) && std::isfinite(p.y);
  });
}

}  // namespace

Point nearest_on(const GridOutline& outline, const VoronoiSite& site, Point p) {
  if (site.part != Part::whole) return to_point(outline.vertices[index(vertex_of(outline, site))]);
  const Segment s = whole(outline, site.segment);
  const Point d = s.b - s.a;
  return s.a + d * std::clamp(dot(p - s.a, d) / dot(d, d), 0.0, 1.0);
}

InnerDiagram inner_part(const GridOutline& outline, const VoronoiDiagram& diagram) {
  const Spokes spokes(outline);
  Merger merger(diagram.vertices.size());
  InnerDiagram out;
  out.vertices = diagram.vertices;
  for (const VoronoiEdge& edge : diagram.edges) {
    if (!edge.is_primary || !is_finite(diagram, edge)) continue;
    const Point a = diagram.vertices[index(edge.vertices[0])];
    const Point b = diagram.vertices[index(edge.vertices[1])];
    if (distance(a, b) <= kNoLength) {
      merger.merge(edge.vertices[0], edge.vertices[1]);
      continue;
    }
    const InnerEdge candidate{edge.sites, edge.vertices[0], edge.vertices[1]};
    const Point middle = bisector(outline, candidate, a, b).at(0.5);
    if (lies_inside(outline, spokes, edge, middle)) out.edges.push_back(candidate);
  }
  for (InnerEdge& edge : out.edges) {
    edge.from = merger.root(edge.from);
    edge.to = merger.root(edge.to);
  }
  std::erase_if(out.edges, [](const InnerEdge& edge) { return edge.from == edge.to; });
  return out;
}

Bisector bisector(const GridOutline& outline, const InnerEdge& edge, Point from, Point to) {
  Bisector out;
  out.from = from;
  out.to = to;
  const bool first_whole = edge.sites[0].part == Part::whole;
  if (first_whole == (edge.sites[1].part == Part::whole)) return out;
  const Segment s = whole(outline, edge.sites[first_whole ? 0 : 1].segment);
  const int focus_vertex = vertex_of(outline, edge.sites[first_whole ? 1 : 0]);
  const Point focus = to_point(outline.vertices[index(focus_vertex)]);
  out.along = unit(s.b - s.a);
  out.f = cross(out.along, focus - s.a);
  out.foot = focus - left_of(out.along) * out.f;
  out.x_from = dot(from - out.foot, out.along);
  out.x_to = dot(to - out.foot, out.along);
  out.is_curved = out.f != 0;
  return out;
}

Point Bisector::at(double t) const {
  if (t <= 0) return from;
  if (t >= 1) return to;
  if (!is_curved) return mix(from, to, t);
  const double x = x_from + t * (x_to - x_from);
  return foot + along * x + left_of(along) * ((x * x + f * f) / (2 * f));
}

}  // namespace buckram::geometry
