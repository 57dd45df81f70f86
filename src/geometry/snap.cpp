#include "geometry/snap.h"

#include "base/base.h"
#include "geometry/segment_tree.h"

#include <algorithm>
#include <cmath>
#include <optional>

namespace buckram::geometry {

namespace {

struct Edge {
  GridPoint a, b;
};

GridPoint operator-(GridPoint a, GridPoint b) {
  return {a.x - b.x, a.y - b.y};
}
std::int64_t cross(GridPoint a, GridPoint b) {
  return a.x * b.y - a.y * b.x;
}
std::int64_t dot(GridPoint a, GridPoint b) {
  return a.x * b.x + a.y * b.y;
}

GridPoint rounded(Point p) {
  constexpr double kFarthest = 1 << 30;
  BUCKRAM_ASSERT(std::abs(p.x) <= kFarthest && std::abs(p.y) <= kFarthest);
  return {std::llround(p.x), std::llround(p.y)};
}

std::vector<Edge> rounded_edges(const std::vector<Ring>& rings) {
  std::vector<Edge> edges;
  for (const Ring& ring : rings) {
    if (ring.empty()) continue;
    GridPoint a = rounded(ring.back());
    for (const Point p : ring) {
      const GridPoint b = rounded(p);
      if (a != b) edges.push_back({a, b});
      a = b;
    }
  }
  return edges;
}

// A vertex that a segment is to be led through.
struct Split {
  std::size_t edge;
  std::int64_t along;
  GridPoint at;
  friend auto operator<=>(const Split&, const Split&) = default;
};

bool passes_through(const Edge& e, GridPoint v) {
  const GridPoint d = e.b - e.a, w = v - e.a;
  const std::int64_t along = dot(w, d), whole = dot(d, d);
  if (along <= 0 || along >= whole) return false;
  const double off = static_cast<double>(cross(d, w));
  return off * off <= 0.25 * static_cast<double>(whole);
}

int sign(std::int64_t v) {
  return (v > 0) - (v < 0);
}

std::optional<GridPoint> crossing(const Edge& e, const Edge& f) {
  const GridPoint d = e.b - e.a, g = f.b - f.a;
  const std::int64_t fa = cross(d, f.a - e.a), fb = cross(d, f.b - e.a);
  if (sign(fa) * sign(fb) >= 0) return {};
  if (sign(cross(g, e.a - f.a)) * sign(cross(g, e.b - f.a)) >= 0) return {};
  const double t = static_cast<double>(fa) / (static_cast<double>(fa) - static_cast<double>(fb));
  return rounded(mix(to_point(f.a), to_point(f.b), t));
}

void add_split(const std::vector<Edge>& edges, std::size_t i, GridPoint v,
               std::vector<Split>& out) {
  const Edge& e = edges[i];
  if (v != e.a && v != e.b) out.push_back({i, dot(v - e.a, e.b - e.a), v});
}

void find_splits_of_pair(const std::vector<Edge>& edges, std::size_t i, std::size_t j,
                         std::vector<Split>& out) {
  const Edge &e = edges[i], &f = edges[j];
  bool touches = false;
  for (const GridPoint v : {f.a, f.b}) {
    if (passes_through(e, v)) add_split(edges, i, v, out), touches = true;
  }
  for (const GridPoint v : {e.a, e.b}) {
    if (passes_through(f, v)) add_split(edges, j, v, out), touches = true;
  }
  if (touches) return;
  if (const auto at = crossing(e, f)) {
    add_split(edges, i, *at, out);
    add_split(edges, j, *at, out);
  }
}

std::vector<Split> find_splits(const std::vector<Edge>& edges) {
  std::vector<Segment> segments;
  segments.reserve(edges.size());
  for (const Edge& e : edges) segments.push_back({to_point(e.a), to_point(e.b)});
  const SegmentTree tree(std::move(segments));
  std::vector<Split> out;
  for (std::size_t i = 0; i < edges.size(); ++i) {
    Box box;
    box.add(to_point(edges[i].a));
    box.add(to_point(edges[i].b));
    box = {box.x0 - 1, box.y0 - 1, box.x1 + 1, box.y1 + 1};
    tree.visit_near(box, [&](std::size_t j) {
      if (j > i) find_splits_of_pair(edges, i, j, out);
    });
  }
  std::sort(out.begin(), out.end());
  out.erase(std::unique(out.begin(), out.end()), out.end());
  return out;
}

// Every edge led through its splits, in the order along it.
std::vector<Edge> led_through(const std::vector<Edge>& edges, const std::vector<Split>& splits) {
  std::vector<Edge> out;
  out.reserve(edges.size() + splits.size());
  auto split = splits.begin();
  for (std::size_t i = 0; i < edges.size(); ++i) {
    GridPoint a = edges[i].a;
    for (; split != splits.end() && split->edge == i; ++split) {
      if (split->at != a) out.push_back({a, split->at});
      a = split->at;
    }
    if (a != edges[i].b) out.push_back({a, edges[i].b});
  }
  return out;
}

// What is left when edges that run against each other cancel; of equals one stays. Keeps order.
std::vector<Edge> without_opposites(const std::vector<Edge>& edges) {
  struct Key {
    GridPoint low, high;
    int direction;
    std::size_t at;
  };
  std::vector<Key> keys;
  keys.reserve(edges.size());
  for (std::size_t i = 0; i < edges.size(); ++i) {
    const Edge& e = edges[i];
    keys.push_back(e.a < e.b ? Key{e.a, e.b, 1, i} : Key{e.b, e.a, -1, i});
  }
  std::sort(keys.begin(), keys.end(), [](const Key& p, const Key& q) {
    if (p.low != q.low) return p.low < q.low;
    return p.high != q.high ? p.high < q.high : p.at < q.at;
  });
  std::vector<char> kept(edges.size(), 0);
  for (std::size_t i = 0; i < keys.size();) {
    int net = 0;
    std::size_t j = i;
    for (; j < keys.size() && keys[j].low == keys[i].low && keys[j].high == keys[i].high; ++j) {
      net += keys[j].direction;
    }
    for (std::size_t k = i; k < j && net != 0; ++k) {
      if ((keys[k].direction > 0) == (net > 0)) kept[keys[k].at] = 1, net = 0;
    }
    i = j;
  }
  std::vector<Edge> out;
  for (std::size_t i = 0; i < edges.size(); ++i) {
    if (kept[i]) out.push_back(edges[i]);
  }
  return out;
}

GridOutline numbered(const std::vector<Edge>& edges, bool is_clean) {
  GridOutline out;
  out.is_clean = is_clean;
  for (const Edge& e : edges) out.vertices.insert(out.vertices.end(), {e.a, e.b});
  std::sort(out.vertices.begin(), out.vertices.end());
  out.vertices.erase(std::unique(out.vertices.begin(), out.vertices.end()), out.vertices.end());
  const auto id = [&](GridPoint p) {
    return static_cast<int>(std::lower_bound(out.vertices.begin(), out.vertices.end(), p) -
                            out.vertices.begin());
  };
  out.segments.reserve(edges.size());
  for (const Edge& e : edges) out.segments.push_back({id(e.a), id(e.b)});
  return out;
}

}  // namespace

GridOutline snapped(const std::vector<Ring>& rings) {
  constexpr int kMostPasses = 8;
  std::vector<Edge> edges = without_opposites(rounded_edges(rings));
  for (int pass = 0; pass < kMostPasses; ++pass) {
    const std::vector<Split> splits = find_splits(edges);
    if (splits.empty()) return numbered(edges, true);
    edges = without_opposites(led_through(edges, splits));
  }
  return numbered(edges, find_splits(edges).empty());
}

}  // namespace buckram::geometry
