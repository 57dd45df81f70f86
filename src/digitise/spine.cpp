#include "digitise/spine.h"

#include "base/base.h"
#include "digitise/axis_graph.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <queue>
#include <set>

namespace buckram::digitise {
namespace {

using geometry::MedialAxis;
using geometry::Point;
using geometry::Polygon;
using geometry::Polyline;

// A corner's spur is dropped unless it sticks out of its disc by this share of the radius: corners
// over 70 degrees do not, points below do.
constexpr double kSignificance = 0.75;
// A straighter tail than this is a point; a more bent one has run into the corner of an end.
constexpr double kTailBend = base::kPi / 9;

constexpr double kJogMm = 0.006;

struct Neighbour {
  int node;
  double length_mm;
};
using Graph = std::vector<std::vector<Neighbour>>;

Graph graph_of(const MedialAxis& axis) {
  Graph graph(axis.nodes.size());
  for (const auto& edge : axis.edges) {
    if (edge.from == edge.to) continue;
    const double d = geometry::distance(axis.nodes[edge.from].at, axis.nodes[edge.to].at);
    graph[edge.from].push_back({edge.to, d});
    graph[edge.to].push_back({edge.from, d});
  }
  return graph;
}

struct Reached {
  std::vector<double> distance_mm;
  std::vector<int> before;
  int farthest = 0;
};

Reached reach(const Graph& graph, int start) {
  Reached r{std::vector<double>(graph.size(), -1), std::vector<int>(graph.size(), -1), start};
  using Item = std::pair<double, int>;
  std::priority_queue<Item, std::vector<Item>, std::greater<>> queue;
  std::vector<double> best(graph.size(), INFINITY);
  best[start] = 0;
  queue.push({0, start});
  while (!queue.empty()) {
    const auto [d, node] = queue.top();
    queue.pop();
    if (r.distance_mm[node] >= 0) continue;
    r.distance_mm[node] = d;
    if (d > r.distance_mm[r.farthest]) r.farthest = node;
    for (const auto& next : graph[node]) {
      if (d + next.length_mm >= best[next.node]) continue;
      best[next.node] = d + next.length_mm;
      r.before[next.node] = node;
      queue.push({best[next.node], next.node});
    }
  }
  return r;
}

// The longest shortest path; over all components the longest.
std::vector<int> longest_path(const Graph& graph) {
  std::vector<int> best;
  double best_mm = -1;
  std::vector<bool> seen(graph.size(), false);
  for (int start = 0; start < static_cast<int>(graph.size()); ++start) {
    if (seen[start]) continue;
    const Reached first = reach(graph, start);
    for (std::size_t i = 0; i < graph.size(); ++i) seen[i] = seen[i] || first.distance_mm[i] >= 0;
    const Reached second = reach(graph, first.farthest);
    if (second.distance_mm[second.farthest] <= best_mm) continue;
    best_mm = second.distance_mm[second.farthest];
    best.clear();
    for (int at = second.farthest; at >= 0; at = second.before[at]) best.push_back(at);
  }
  return best;
}

// The only loop, spurs stripped; empty when there is none or more than one.
std::vector<int> only_loop(const Graph& graph) {
  std::vector<int> degree(graph.size());
  std::vector<int> leaves;
  for (int i = 0; i < static_cast<int>(graph.size()); ++i) {
    degree[i] = static_cast<int>(graph[i].size());
    if (degree[i] == 1) leaves.push_back(i);
  }
  while (!leaves.empty()) {
    const int leaf = leaves.back();
    leaves.pop_back();
    degree[leaf] = 0;
    for (const auto& next : graph[leaf]) {
      if (degree[next.node] > 0 && --degree[next.node] == 1) leaves.push_back(next.node);
    }
  }
  int start = -1;
  int left = 0;
  for (int i = 0; i < static_cast<int>(graph.size()); ++i) {
    if (degree[i] > 2) return {};
    if (degree[i] == 2) ++left, start = start < 0 ? i : start;
  }
  std::vector<int> loop;
  for (int at = start, before = -1; at >= 0;) {
    loop.push_back(at);
    int onward = -1;
    for (const auto& next : graph[at]) {
      if (next.node == before || degree[next.node] != 2) continue;
      if (onward < 0 || next.node < onward) onward = next.node;
    }
    before = at;
    at = onward == start || static_cast<int>(loop.size()) > left ? -1 : onward;
  }
  return static_cast<int>(loop.size()) == left && left >= 3 ? loop : std::vector<int>{};
}

double quantile(std::vector<double> values, double q) {
  if (values.empty()) return 0;
  const auto at = std::min(values.size() - 1, static_cast<std::size_t>(q * double(values.size())));
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(at);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

double path_length(const MedialAxis& axis, const std::vector<int>& path) {
  double sum = 0;
  for (std::size_t i = 1; i < path.size(); ++i) {
    sum += geometry::distance(axis.nodes[path[i - 1]].at, axis.nodes[path[i]].at);
  }
  return sum;
}

// Radii at equal steps of length (nodes crowd where the outline bends).
std::vector<double> radii_along(const MedialAxis& axis, const std::vector<int>& path, bool closed) {
  std::vector<double> radii;
  const std::size_t n = path.size();
  double carried = 0;
  for (std::size_t i = 0; i + (closed ? 0 : 1) < n; ++i) {
    const auto& a = axis.nodes[path[i]];
    const auto& b = axis.nodes[path[(i + 1) % n]];
    carried += geometry::distance(a.at, b.at);
    for (; carried > kSpineStepMm; carried -= kSpineStepMm) {
      radii.push_back((a.radius_mm + b.radius_mm) / 2);
    }
  }
  if (radii.empty() && n > 0) radii.push_back(axis.nodes[path[n / 2]].radius_mm);
  return radii;
}

// Where the path stands `reach_mm` from its k-th point, towards its end or back.
Point walked(const MedialAxis& axis, const std::vector<int>& path, std::size_t k, double reach_mm,
             bool to_end) {
  Point at = axis.nodes[path[k]].at;
  while (to_end ? k + 1 < path.size() : k > 0) {
    k = to_end ? k + 1 : k - 1;
    const Point next = axis.nodes[path[k]].at;
    const double step = geometry::distance(at, next);
    if (step >= reach_mm) return step > 0 ? geometry::mix(at, next, reach_mm / step) : next;
    reach_mm -= step;
    at = next;
  }
  return at;
}

// Cuts back a tail that has turned out of the strip's direction into one corner of its end: there
// the axis runs straight and its radius falls steadily to nothing. A horn that narrows along a
// curve falls more slowly or turns little, and is kept.
void cut_tail(const MedialAxis& axis, std::vector<int>& path) {
  constexpr double kLeastFall = 0.2;  // of the radius per length: a corner of 23 degrees
  std::size_t knee = path.size() - 1;
  for (; knee > 0; --knee) {
    const auto &here = axis.nodes[path[knee]], &before = axis.nodes[path[knee - 1]];
    if (before.radius_mm - here.radius_mm < kLeastFall * geometry::distance(before.at, here.at))
      break;
  }
  const auto& bend = axis.nodes[path[knee]];
  const double tail = geometry::distance(bend.at, axis.nodes[path.back()].at);
  if (knee == 0 || tail < 0.3 * bend.radius_mm || tail > 4 * bend.radius_mm) return;
  const Point before = bend.at - walked(axis, path, knee, 0.7 * bend.radius_mm, false);
  const Point after = walked(axis, path, knee, 0.7 * bend.radius_mm, true) - bend.at;
  const double turn =
      std::abs(std::atan2(geometry::cross(before, after), geometry::dot(before, after)));
  if (turn > kTailBend) path.resize(knee + 1);
}

// The middle between the two outermost corners of the end that the path's last node stands in:
// corners are the ends of the raw axis that are reached from there, other than along the path.
std::optional<Point> end_middle(const AxisGraph& raw, const MedialAxis& axis,
                                const std::vector<int>& path, double radius_mm) {
  std::map<std::pair<double, double>, int> names;
  for (int i = 0; i < static_cast<int>(raw.axis.nodes.size()); ++i)
    names[{raw.node(i).at.x, raw.node(i).at.y}] = i;
  std::set<int> seen;
  int start = -1;
  for (int node : path) {
    const auto found = names.find({axis.nodes[node].at.x, axis.nodes[node].at.y});
    if (found != names.end()) seen.insert(start = found->second);
  }
  if (start < 0) return std::nullopt;
  const Point end = raw.node(start).at;
  std::vector<Point> corners;
  for (std::vector<int> open{start}; !open.empty();) {
    const int at = open.back();
    open.pop_back();
    if (raw.degree(at) == 1 && at != start) corners.push_back(raw.node(at).at);
    for (int e : raw.edges_at[at]) {
      const int next = raw.axis.edges[e].from == at ? raw.axis.edges[e].to : raw.axis.edges[e].from;
      const bool is_near = geometry::distance(raw.node(next).at, end) < 4 * radius_mm;
      if (is_near && seen.insert(next).second) open.push_back(next);
    }
  }
  double widest = 0.8 * radius_mm;
  std::optional<Point> middle;
  for (std::size_t i = 0; i < corners.size(); ++i) {
    for (std::size_t j = i + 1; j < corners.size(); ++j) {
      const double wide = geometry::distance(corners[i], corners[j]);
      if (wide > widest) widest = wide, middle = geometry::mix(corners[i], corners[j], 0.5);
    }
  }
  return middle;
}

// Carries the last point on to the outline: towards `aim` where that lies ahead, else straight on.
void carry_to_outline(const Polygon& cell, Polyline& line, double radius_mm,
                      std::optional<Point> aim) {
  if (line.size() < 2) return;
  const Point end = line.back();
  Point behind = line.front();
  for (std::size_t i = line.size() - 1; i > 0; --i) {
    behind = line[i - 1];
    if (geometry::distance(behind, end) > std::max(0.3, 0.8 * radius_mm)) break;
  }
  Point d = geometry::unit(end - behind);
  if (aim && geometry::distance(*aim, end) > 0.2 * radius_mm) {
    const Point towards = geometry::unit(*aim - end);
    if (geometry::dot(towards, d) > 0.1) d = towards;
  }
  if (d == Point{}) return;
  for (double t : crossings(cell, end, d)) {
    if (t <= 1e-9) continue;
    if (t < 3 * radius_mm + 0.5) line.push_back(end + d * t);
    return;
  }
}

Spine finished(Polyline line, bool closed, double radius_mm) {
  line = geometry::resample(line, kSpineStepMm, closed);
  if (line.size() > 4)
    line = geometry::smoothed(line, std::clamp(0.35 * radius_mm, 0.1, 0.6), closed);
  return {geometry::resample(line, kSpineStepMm, closed), closed};
}

Polyline points_of(const MedialAxis& axis, const std::vector<int>& path) {
  Polyline line;
  for (int node : path) {
    const Point p = axis.nodes[node].at;
    if (line.empty() || geometry::distance(line.back(), p) > 1e-6) line.push_back(p);
  }
  return line;
}

std::optional<Spine> open_spine(const Polygon& cell, const AxisGraph& raw, const MedialAxis& axis,
                                std::vector<int> path, double radius_mm) {
  cut_tail(axis, path);
  std::reverse(path.begin(), path.end());
  cut_tail(axis, path);
  Polyline line = points_of(axis, path);
  if (geometry::length(line) < 0.5 * radius_mm) return std::nullopt;
  for (int side = 0; side < 2; ++side) {
    const auto aim = end_middle(raw, axis, path, radius_mm);
    carry_to_outline(cell, line, axis.nodes[path.back()].radius_mm, aim);
    std::reverse(line.begin(), line.end());
    std::reverse(path.begin(), path.end());
  }
  return finished(std::move(line), false, radius_mm);
}

// Without the steps of a thousandth of a millimetre that the ends of cuts leave: each would be a
// corner with a branch of the axis of its own. As it is where that would close a cut along which
// the cell touches itself.
Polygon without_jogs(const Polygon& cell) {
  auto parts = geometry::simplify({cell}, kJogMm);
  const bool is_same = parts.size() == 1 && parts.front().holes.size() == cell.holes.size();
  return is_same ? std::move(parts.front()) : cell;
}

}  // namespace

StripAxis strip_axis(const Polygon& whole) {
  StripAxis strip;
  const Polygon cell = without_jogs(whole);
  const geometry::Box box = geometry::bounds(cell);
  strip.widest_mm = strip.typical_mm = strip.broad_mm = std::min(box.width(), box.height());
  const auto result = geometry::medial_axis(cell);
  if (!result.verified || result.axis.nodes.empty()) return strip;
  const MedialAxis axis = without_stubs(result.axis, kSignificance, 0);
  if (axis.nodes.empty()) return strip;
  double widest = 0;
  for (const auto& node : axis.nodes) widest = std::max(widest, 2 * node.radius_mm);
  strip.widest_mm = widest;
  strip.typical_mm = strip.broad_mm = widest;

  const Graph graph = graph_of(axis);
  const bool ring = cell.holes.size() == 1;
  const auto path = ring ? only_loop(graph) : longest_path(graph);
  if (path.empty()) return strip;
  const auto radii = radii_along(axis, path, ring);
  const double radius = quantile(radii, 0.5);
  strip.typical_mm = 2 * radius;
  strip.broad_mm = 2 * quantile(radii, 0.8);
  if (ring) {
    strip.spine = finished(points_of(axis, path), true, radius);
  } else if (cell.holes.empty() && path.size() > 1 && path_length(axis, path) > 0) {
    strip.spine = open_spine(cell, AxisGraph(result.axis), axis, path, radius);
  }
  if (strip.spine && strip.spine->line.size() < 3) strip.spine.reset();
  return strip;
}

std::vector<double> crossings(const Polygon& polygon, Point p, Point d) {
  std::vector<double> ts;
  const auto ring_crossings = [&](const geometry::Ring& ring) {
    if (ring.empty()) return;
    Point a = ring.back() - p;
    double side_a = geometry::cross(d, a);
    for (const Point& vertex : ring) {
      const Point b = vertex - p;
      const double side_b = geometry::cross(d, b);
      if ((side_a < 0) != (side_b < 0)) {
        const Point q = geometry::mix(a, b, side_a / (side_a - side_b));
        ts.push_back(geometry::dot(q, d) / geometry::dot(d, d));
      }
      a = b;
      side_a = side_b;
    }
  };
  ring_crossings(polygon.outer);
  for (const auto& hole : polygon.holes) ring_crossings(hole);
  std::sort(ts.begin(), ts.end());
  return ts;
}

namespace {

struct Moments {
  Point middle;
  double xx = 0, xy = 0, yy = 0;  // central, times area
  double area = 0;
};

// Second moments of area by Green's theorem, about the first vertex.
Moments moments(const Polygon& cell) {
  Moments m;
  const Point o = cell.outer.front();
  double mx = 0, my = 0, xx = 0, xy = 0, yy = 0;
  const auto add = [&](const geometry::Ring& ring) {
    for (std::size_t i = 0; i < ring.size(); ++i) {
      const Point a = ring[i] - o, b = ring[(i + 1) % ring.size()] - o;
      const double k = geometry::cross(a, b);
      m.area += k / 2;
      mx += k * (a.x + b.x) / 6;
      my += k * (a.y + b.y) / 6;
      xx += k * (a.x * a.x + a.x * b.x + b.x * b.x) / 12;
      yy += k * (a.y * a.y + a.y * b.y + b.y * b.y) / 12;
      xy += k * (a.x * b.y + 2 * a.x * a.y + 2 * b.x * b.y + b.x * a.y) / 24;
    }
  };
  add(cell.outer);
  for (const auto& hole : cell.holes) add(hole);
  if (!(m.area > 0)) return m;
  const Point c{mx / m.area, my / m.area};
  m.middle = o + c;
  m.xx = xx - m.area * c.x * c.x;
  m.yy = yy - m.area * c.y * c.y;
  m.xy = xy - m.area * c.x * c.y;
  return m;
}

}  // namespace

std::optional<Spine> straight_spine(const Polygon& cell, bool across) {
  if (cell.outer.size() < 3) return std::nullopt;
  const Moments m = moments(cell);
  if (!(m.area > 0)) return std::nullopt;
  // Round shapes have no direction of their own: along x, so that their threads stand upright.
  const double spread = std::hypot(m.xx - m.yy, 2 * m.xy);
  const bool round = spread < 0.05 * (m.xx + m.yy);
  double angle = round ? 0 : 0.5 * std::atan2(2 * m.xy, m.xx - m.yy);
  if (across) angle += base::kPi / 2;
  const Point d{std::cos(angle), std::sin(angle)};
  const auto ts = crossings(cell, m.middle, d);
  for (std::size_t i = 0; i + 1 < ts.size(); i += 2) {
    if (ts[i] > 0 || ts[i + 1] < 0) continue;
    const Polyline line{m.middle + d * ts[i], m.middle + d * ts[i + 1]};
    if (geometry::length(line) < 2 * kSpineStepMm) return std::nullopt;
    return Spine{geometry::resample(line, kSpineStepMm), false};
  }
  return std::nullopt;
}

}  // namespace buckram::digitise
