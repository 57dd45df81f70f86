#include "artwork/work_limit.h"

#include "base/base.h"

#include <algorithm>

namespace buckram::artwork {
namespace {

using geometry::Point;

struct Edge {
  Point a, b;
};

std::vector<Edge> edges_of(const std::vector<const geometry::Ring*>& rings) {
  std::vector<Edge> edges;
  for (const geometry::Ring* ring : rings)
    for (std::size_t i = 0; i < ring->size(); ++i)
      edges.push_back({(*ring)[i], (*ring)[(i + 1) % ring->size()]});
  return edges;
}

bool cross_each_other(const Edge& p, const Edge& q) {
  const auto side = [](const Edge& e, Point x) { return cross(e.b - e.a, x - e.a); };
  return side(p, q.a) * side(p, q.b) < 0 && side(q, p.a) * side(q, p.b) < 0;
}

double estimated_crossings(const std::vector<Edge>& edges) {
  constexpr int kPairs = 20'000;
  base::Random random(1);
  const int n = static_cast<int>(edges.size());
  int hits = 0;
  for (int i = 0; i < kPairs; ++i) {
    const int p = random.below(n);
    const int q = random.below(n);
    hits +=
        cross_each_other(edges[static_cast<std::size_t>(p)], edges[static_cast<std::size_t>(q)]);
  }
  return 0.5 * n * static_cast<double>(n) * hits / kPairs;
}

void take(double& left, const std::vector<const geometry::Ring*>& rings,
          const std::string& source) {
  left -= sweep_steps(rings);
  if (left >= 0) return;
  throw base::Error{base::ErrorCode::bad_artwork,
                    "the drawing is too tangled: working out what shows would take too long",
                    source, "simplify the outlines, or split the drawing"};
}

void add_rings(const geometry::Polygons& polygons, std::vector<const geometry::Ring*>& rings) {
  for (const geometry::Polygon& polygon : polygons) {
    rings.push_back(&polygon.outer);
    for (const geometry::Ring& hole : polygon.holes) rings.push_back(&hole);
  }
}

}  // namespace

double sweep_steps(const std::vector<const geometry::Ring*>& rings) {
  constexpr double kPerCall = 200, kPerPoint = 20, kPerVisit = 10, kPerCrossing = 100;
  std::size_t n = 0;
  for (const geometry::Ring* ring : rings) n += ring->size();
  const double points = static_cast<double>(n);
  constexpr std::size_t kSmall = 400;  // cheaper to do than to count
  if (n < kSmall) return kPerCall + kPerPoint * points + points * points / 8;
  const std::vector<Edge> edges = edges_of(rings);
  std::vector<double> heights;
  heights.reserve(edges.size());
  for (const Edge& edge : edges) heights.push_back(edge.a.y);
  std::sort(heights.begin(), heights.end());
  heights.erase(std::unique(heights.begin(), heights.end()), heights.end());
  const auto place = [&](double y) {
    return std::lower_bound(heights.begin(), heights.end(), y) - heights.begin();
  };
  double visits = 0;
  for (const Edge& edge : edges)
    visits += static_cast<double>(std::abs(place(edge.a.y) - place(edge.b.y)));
  double steps = kPerCall + kPerPoint * points + kPerVisit * visits;
  constexpr std::size_t kMany = 3'000;
  if (n >= kMany) steps += kPerCrossing * estimated_crossings(edges);
  return steps;
}

void WorkLimit::spend(const std::vector<geometry::Ring>& rings, const std::string& source) {
  std::vector<const geometry::Ring*> all;
  for (const geometry::Ring& ring : rings) all.push_back(&ring);
  take(left_, all, source);
}

void WorkLimit::spend(const geometry::Polygons& a, const geometry::Polygons& b,
                      const std::string& source) {
  std::vector<const geometry::Ring*> all;
  add_rings(a, all);
  add_rings(b, all);
  take(left_, all, source);
}

}  // namespace buckram::artwork
