#include "geometry/medial_axis.h"

#include "base/base.h"
#include "geometry/medial_inner.h"

#include <algorithm>
#include <cmath>
#include <iterator>

namespace buckram::geometry {

namespace {

// How the outline is laid on the integer grid before a build. Odd angles keep edges off the
// axes, where the sweep is known to fail.
struct Rung {
  double angle_rad;
  double finer;  // grid steps per step of the boolean's grid
};
constexpr Rung kLadder[] = {{0.2345, 1},   {0.7771, 10}, {1.2021, 1},
                            {-0.4513, 37}, {2.6467, 4},  {-1.0177, 100}};

struct Frame {
  Affine to_grid, from_grid;
  double units_per_mm;
};

Frame frame_of(const Box& box, const Rung& rung) {
  constexpr double kFarthest = 5e8;  // of the grid's +-2^30, with room for the turn
  const double reach = std::max({box.width(), box.height(), kGridMm});
  const double k = std::min(rung.finer / kGridMm, kFarthest / reach);
  const Affine to_middle{1, 0, 0, 1, -box.middle().x, -box.middle().y};
  const Affine to_grid =
      compose(Affine{k, 0, 0, k, 0, 0}, compose(rotation(rung.angle_rad), to_middle));
  return {to_grid, inverse(to_grid), k};
}

std::vector<Ring> rings_in(const Polygons& polygons, const Affine& map) {
  std::vector<Ring> rings;
  for (const Polygon& polygon : polygons) {
    rings.push_back(transformed(polygon.outer, map));
    for (const Ring& hole : polygon.holes) rings.push_back(transformed(hole, map));
  }
  return rings;
}

// Parameters at which to cut a bisector so that no chord is farther from it than `chord`, after
// 0. The chord over [x0, x1] of a parabola is farthest at the middle: (x1 - x0)^2 / (8 f)
// upright, times the cosine of the chord's slope across it.
void add_cuts(const Bisector& b, double chord, double t0, double t1, int depth,
              std::vector<double>& cuts) {
  const double span = (t1 - t0) * (b.x_to - b.x_from);
  const double slope = (b.x_from + (t0 + t1) / 2 * (b.x_to - b.x_from)) / b.f;
  const double off = span * span / (8 * std::abs(b.f)) / std::sqrt(1 + slope * slope);
  if (off <= chord || depth == 0) return cuts.push_back(t1);
  add_cuts(b, chord, t0, (t0 + t1) / 2, depth - 1, cuts);
  add_cuts(b, chord, (t0 + t1) / 2, t1, depth - 1, cuts);
}

class AxisWriter {
 public:
  AxisWriter(const GridOutline& outline, const InnerDiagram& inner, const Frame& frame)
      : outline_(outline), inner_(inner), frame_(frame), node_of_(inner.vertices.size(), -1) {}

  MedialAxis write(double chord_mm) {
    for (const InnerEdge& edge : inner_.edges) add(edge, chord_mm * frame_.units_per_mm);
    return std::move(axis_);
  }

 private:
  int add_node(Point p, const InnerEdge& edge) {
    const double radius = distance(p, nearest_on(outline_, edge.sites[0], p));
    axis_.nodes.push_back({frame_.from_grid(p), radius / frame_.units_per_mm});
    return static_cast<int>(axis_.nodes.size()) - 1;
  }

  int node_at(int vertex, const InnerEdge& edge) {
    int& node = node_of_[static_cast<std::size_t>(vertex)];
    if (node < 0) node = add_node(inner_.vertices[static_cast<std::size_t>(vertex)], edge);
    return node;
  }

  void add(const InnerEdge& edge, double chord) {
    constexpr int kDepth = 12;
    const Bisector curve = bisector(outline_, edge, inner_.vertices[std::size_t(edge.from)],
                                    inner_.vertices[std::size_t(edge.to)]);
    std::vector<double> cuts;
    if (curve.is_curved) {
      add_cuts(curve, chord, 0, 1, kDepth, cuts);
    } else {
      cuts.push_back(1);
    }
    int from = node_at(edge.from, edge);
    double t = 0;
    for (const double next : cuts) {
      const int to = next == 1 ? node_at(edge.to, edge) : add_node(curve.at(next), edge);
      axis_.edges.push_back(piece(edge, curve, t, next));
      axis_.edges.back().from = from;
      axis_.edges.back().to = to;
      from = to, t = next;
    }
  }

  MedialEdge piece(const InnerEdge& edge, const Bisector& curve, double t0, double t1) const {
    const Point a = curve.at(t0), b = curve.at(t1), middle = curve.at((t0 + t1) / 2);
    Point left = nearest_on(outline_, edge.sites[0], middle);
    Point right = nearest_on(outline_, edge.sites[1], middle);
    if (cross(b - a, left - right) < 0) std::swap(left, right);
    return {0, 0, frame_.from_grid(left), frame_.from_grid(right)};
  }

  const GridOutline& outline_;
  const InnerDiagram& inner_;
  const Frame& frame_;
  std::vector<int> node_of_;  // per vertex of the diagram
  MedialAxis axis_;
};

}  // namespace

MedialResult medial_axis(const Polygon& polygon, const MedialOptions& options) {
  BUCKRAM_ASSERT(options.chord_mm > 0 && options.tries >= 1);
  std::vector<Ring> rings = polygon.holes;
  rings.insert(rings.begin(), polygon.outer);
  const Polygons mended = unite(rings, FillRule::nonzero);
  MedialResult result;
  for (int i = 0; i < options.tries && !result.verified; ++i) {
    const Rung rung = kLadder[static_cast<std::size_t>(i) % std::size(kLadder)];
    const Frame frame = frame_of(bounds(mended), rung);
    const GridOutline outline = snapped(rings_in(mended, frame.to_grid));
    const VoronoiDiagram diagram = voronoi(outline);
    const InnerDiagram inner = inner_part(outline, diagram);
    result.verified = flaw_of(outline, diagram, inner) == Flaw::none;
    result.tries = i + 1;
    if (result.verified || i + 1 == options.tries) {
      result.axis = AxisWriter(outline, inner, frame).write(options.chord_mm);
    }
  }
  return result;
}

}  // namespace buckram::geometry
