#include "digitise/axis_graph.h"

#include <algorithm>

namespace buckram::digitise {

AxisGraph::AxisGraph(geometry::MedialAxis pruned_axis)
    : axis(std::move(pruned_axis)),
      branches(geometry::branches(axis)),
      edges_at(axis.nodes.size()) {
  for (int e = 0; e < static_cast<int>(axis.edges.size()); ++e) {
    edges_at[axis.edges[e].from].push_back(e);
    edges_at[axis.edges[e].to].push_back(e);
  }
}

int AxisGraph::edge_between(int a, int b) const {
  for (int e : edges_at[a]) {
    if (axis.edges[e].from == b || axis.edges[e].to == b) return e;
  }
  return -1;
}

int node_along(const AxisGraph& graph, Arm arm, int k) {
  const auto& nodes = graph.branches[arm.branch].nodes;
  const int last = static_cast<int>(nodes.size()) - 1;
  const int at = std::clamp(k, 0, last);
  return nodes[arm.end == 0 ? at : last - at];
}

int start_node(const AxisGraph& graph, Arm arm) {
  return node_along(graph, arm, 0);
}

geometry::Point heading(const AxisGraph& graph, Arm arm, double reach_mm) {
  const geometry::Point start = graph.node(start_node(graph, arm)).at;
  geometry::Point before = start;
  double walked = 0;
  const int n = static_cast<int>(graph.branches[arm.branch].nodes.size());
  for (int k = 1; k < n; ++k) {
    const geometry::Point p = graph.node(node_along(graph, arm, k)).at;
    const double step = geometry::distance(before, p);
    if (walked + step >= reach_mm && step > 0) {
      before = geometry::mix(before, p, (reach_mm - walked) / step);
      break;
    }
    walked += step;
    before = p;
  }
  return geometry::unit(before - start);
}

namespace {

// The axis without the edges marked; nodes that no edge names are left out.
geometry::MedialAxis without_edges(const geometry::MedialAxis& axis,
                                   const std::vector<bool>& dropped) {
  geometry::MedialAxis kept;
  std::vector<int> renamed(axis.nodes.size(), -1);
  const auto name = [&](int node) {
    if (renamed[node] < 0) {
      renamed[node] = static_cast<int>(kept.nodes.size());
      kept.nodes.push_back(axis.nodes[node]);
    }
    return renamed[node];
  };
  for (std::size_t e = 0; e < axis.edges.size(); ++e) {
    if (dropped[e]) continue;
    geometry::MedialEdge edge = axis.edges[e];
    edge.from = name(edge.from);
    edge.to = name(edge.to);
    kept.edges.push_back(edge);
  }
  return kept;
}

geometry::MedialAxis widest_node(const geometry::MedialAxis& axis) {
  const auto widest =
      std::max_element(axis.nodes.begin(), axis.nodes.end(),
                       [](const auto& a, const auto& b) { return a.radius_mm < b.radius_mm; });
  return {{*widest}, {}};
}

// Marks the edges of every free branch that is a stub.
std::vector<bool> stubs(const AxisGraph& graph, double significance, double least_mm,
                        const KeepBranch& is_kept) {
  std::vector<bool> dropped(graph.axis.edges.size(), false);
  for (const auto& branch : graph.branches) {
    const int front = branch.nodes.front(), back = branch.nodes.back();
    if (branch.closed || (graph.degree(front) == 1) == (graph.degree(back) == 1)) continue;
    const int foot = graph.degree(front) == 1 ? back : front;
    const int tip = foot == back ? front : back;
    const double radius = graph.node(foot).radius_mm;
    const double out = branch.length_mm + graph.node(tip).radius_mm - radius;
    if (out >= std::max(least_mm, significance * radius)) continue;
    if (is_kept && is_kept(graph, branch)) continue;
    for (std::size_t k = 0; k + 1 < branch.nodes.size(); ++k) {
      const int e = graph.edge_between(branch.nodes[k], branch.nodes[k + 1]);
      if (e >= 0) dropped[e] = true;
    }
  }
  return dropped;
}

}  // namespace

geometry::MedialAxis without_stubs(geometry::MedialAxis axis, double significance, double least_mm,
                                   const KeepBranch& is_kept) {
  while (!axis.edges.empty()) {
    const AxisGraph graph(axis);
    const auto dropped = stubs(graph, significance, least_mm, is_kept);
    if (std::find(dropped.begin(), dropped.end(), true) == dropped.end()) break;
    geometry::MedialAxis kept = without_edges(axis, dropped);
    if (kept.edges.empty()) return widest_node(axis);
    axis = std::move(kept);
  }
  return axis;
}

geometry::MedialAxis with_joined_junctions(const geometry::MedialAxis& axis, double share,
                                           double widest_mm) {
  const AxisGraph graph(axis);
  std::vector<int> joined(axis.nodes.size());  // the node that each stands for
  for (int i = 0; i < static_cast<int>(joined.size()); ++i) joined[i] = i;
  const auto root = [&](int i) {
    while (joined[i] != i) i = joined[i];
    return i;
  };
  std::vector<bool> dropped(axis.edges.size(), false);
  for (const auto& branch : graph.branches) {
    const int p = branch.nodes.front(), q = branch.nodes.back();
    if (branch.closed || p == q || graph.degree(p) < 3 || graph.degree(q) < 3) continue;
    const int a = root(p), b = root(q);
    const double radius = std::min(graph.node(p).radius_mm, graph.node(q).radius_mm);
    if (a == b || radius > widest_mm || branch.length_mm > share * radius) continue;
    const bool a_first = graph.node(a).radius_mm >= graph.node(b).radius_mm;
    joined[a_first ? b : a] = a_first ? a : b;
    for (std::size_t k = 0; k + 1 < branch.nodes.size(); ++k) {
      const int e = graph.edge_between(branch.nodes[k], branch.nodes[k + 1]);
      if (e >= 0) dropped[e] = true;
    }
  }
  geometry::MedialAxis renamed = axis;
  for (auto& edge : renamed.edges) edge.from = root(edge.from), edge.to = root(edge.to);
  return without_edges(renamed, dropped);
}

}  // namespace buckram::digitise
