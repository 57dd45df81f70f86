#include "digitise/cuts.h"

#include "base/base.h"
#include "digitise/axis_graph.h"
#include "digitise/corners.h"
#include "digitise/feet.h"
#include "digitise/spine.h"

#include <algorithm>
#include <cmath>
#include <tuple>

namespace buckram::digitise {
namespace {

using geometry::Point;

constexpr double kSignificance = 0.75;  // as in spine.cpp
constexpr double kStubMm = 0.6;         // shorter bumps are covered by the rungs that pass them
constexpr double kSharpestPair = 100 * base::kPi / 180;
constexpr double kMouthMm = 0.05;  // how far from its junction an arm's mouth is measured
constexpr double kArmShape = 2.5;  // an arm is at least this many times as long as it is wide

double angle_between(Point a, Point b) {
  return std::abs(std::atan2(geometry::cross(a, b), geometry::dot(a, b)));
}

// --- wide and narrow --------------------------------------------------------------------------

struct Part {
  bool wide = false;
  double length_mm = 0, largest_radius_mm = 0;
  int widest_node = 0;
  std::vector<int> nodes;
  std::vector<int> contacts;  // edges to parts of the other kind
};

std::vector<Part> parts_of(const AxisGraph& graph, const std::vector<bool>& wide) {
  std::vector<Part> parts;
  std::vector<bool> seen(graph.axis.nodes.size(), false);
  for (int start = 0; start < static_cast<int>(seen.size()); ++start) {
    if (seen[start]) continue;
    Part part{.wide = wide[start],
              .length_mm = 0,
              .largest_radius_mm = 0,
              .widest_node = start,
              .nodes = {start},
              .contacts = {}};
    seen[start] = true;
    for (std::size_t i = 0; i < part.nodes.size(); ++i) {
      const int at = part.nodes[i];
      if (graph.node(at).radius_mm > part.largest_radius_mm) {
        part.largest_radius_mm = graph.node(at).radius_mm;
        part.widest_node = at;
      }
      for (int e : graph.edges_at[at]) {
        const auto& edge = graph.axis.edges[e];
        const int next = edge.from == at ? edge.to : edge.from;
        if (wide[next] != part.wide) {
          part.contacts.push_back(e);
          continue;
        }
        part.length_mm += geometry::distance(graph.node(at).at, graph.node(next).at) / 2;
        if (!seen[next]) seen[next] = true, part.nodes.push_back(next);
      }
    }
    parts.push_back(std::move(part));
  }
  return parts;
}

double chord_length(const geometry::MedialEdge& edge) {
  return geometry::distance(edge.foot_left, edge.foot_right);
}

// A crossing of strokes or a short swelling, not a part of its own.
bool passing_swelling(const Part& part, const Recipe& recipe) {
  return part.length_mm < 0.8 * part.largest_radius_mm &&
         2 * part.largest_radius_mm < 1.5 * recipe.column_to_mm;
}

bool too_short_for_arm(const AxisGraph& graph, const Part& part) {
  double widest = 0;
  for (int e : part.contacts) widest = std::max(widest, chord_length(graph.axis.edges[e]));
  return part.length_mm < kArmShape * widest;
}

std::vector<bool> wide_nodes(const AxisGraph& graph, const Recipe& recipe) {
  std::vector<bool> wide;
  for (const auto& node : graph.axis.nodes) {
    wide.push_back(2 * (node.radius_mm + recipe.compensation_mm) > recipe.column_to_mm);
  }
  for (const auto& part : parts_of(graph, wide)) {
    if (!part.wide || !passing_swelling(part, recipe)) continue;
    for (int node : part.nodes) wide[node] = false;
  }
  for (const auto& part : parts_of(graph, wide)) {
    if (part.wide || part.contacts.empty() || !too_short_for_arm(graph, part)) continue;
    for (int node : part.nodes) wide[node] = true;
  }
  return wide;
}

void cut_off_arms(const AxisGraph& graph, const geometry::Polygon& polygon,
                  const std::vector<bool>& wide, const Recipe& recipe, Cuts& out) {
  for (const auto& part : parts_of(graph, wide)) {
    if (part.wide) {
      out.wide.push_back(graph.node(part.widest_node).at);
      continue;
    }
    for (int e : part.contacts) {
      const auto& edge = graph.axis.edges[e];
      const int arm = wide[edge.from] ? edge.to : edge.from;
      const int body = arm == edge.from ? edge.to : edge.from;
      const double limit = recipe.column_to_mm / 2 - recipe.compensation_mm;
      const double rise = graph.node(body).radius_mm - graph.node(arm).radius_mm;
      const double t = rise > 0 ? (limit - graph.node(arm).radius_mm) / rise : 0.5;
      const Feet feet = feet_at(graph, polygon, arm, body, std::clamp(t, 0.0, 1.0));
      const Point outwards = geometry::unit(graph.node(arm).at - graph.node(body).at);
      out.cuts.push_back(
          {feet.left, feet.right, graph.node(arm).at + outwards * 0.1, true, recipe.row_mm, {}});
    }
  }
}

// --- junctions --------------------------------------------------------------------------------

struct Pairing {
  double bend_rad = 0;
  Arm a, b;
  int via = -1;  // short branch between the two
};

bool before(const Pairing& x, const Pairing& y) {
  return std::tie(x.bend_rad, x.via, x.a, x.b) < std::tie(y.bend_rad, y.via, y.a, y.b);
}

std::vector<std::vector<Arm>> arms_by_node(const AxisGraph& graph) {
  std::vector<std::vector<Arm>> arms(graph.axis.nodes.size());
  for (int b = 0; b < static_cast<int>(graph.branches.size()); ++b) {
    if (graph.branches[b].closed) continue;
    for (int end : {0, 1}) {
      const int node = start_node(graph, {b, end});
      if (graph.degree(node) > 2) arms[node].push_back({b, end});
    }
  }
  return arms;
}

double reach(const AxisGraph& graph, Arm arm) {
  return 1.5 * graph.node(start_node(graph, arm)).radius_mm;
}

// All ways to run through: straight across one node, or across two joined by a short branch.
std::vector<Pairing> pairings(const AxisGraph& graph, const std::vector<std::vector<Arm>>& arms) {
  std::vector<Pairing> all;
  for (const auto& here : arms) {
    for (std::size_t i = 0; i < here.size(); ++i) {
      for (std::size_t j = i + 1; j < here.size(); ++j) {
        const Point in = heading(graph, here[i], reach(graph, here[i]));
        const Point out = heading(graph, here[j], reach(graph, here[j]));
        all.push_back({angle_between(in * -1, out), here[i], here[j], -1});
      }
    }
  }
  for (int b = 0; b < static_cast<int>(graph.branches.size()); ++b) {
    const auto& branch = graph.branches[b];
    const int p = branch.nodes.front(), q = branch.nodes.back();
    if (branch.closed || p == q || graph.degree(p) < 3 || graph.degree(q) < 3) continue;
    if (branch.length_mm > 2 * std::min(graph.node(p).radius_mm, graph.node(q).radius_mm)) continue;
    const Point link = geometry::unit(graph.node(q).at - graph.node(p).at);
    for (const Arm& x : arms[p]) {
      for (const Arm& y : arms[q]) {
        if (x.branch == b || y.branch == b || x.branch == y.branch) continue;
        const Point in = heading(graph, x, reach(graph, x)) * -1;
        const Point out = heading(graph, y, reach(graph, y));
        const double bend = std::max(angle_between(in, out),
                                     (angle_between(in, link) + angle_between(link, out)) / 2);
        all.push_back({bend, x, y, b});
      }
    }
  }
  std::sort(all.begin(), all.end(), before);
  return all;
}

void cut_junctions(const AxisGraph& graph, const geometry::Polygon& polygon,
                   const std::vector<bool>& wide, double tuck_mm, Cuts& out) {
  const auto arms = arms_by_node(graph);
  std::vector<std::array<bool, 2>> joined(graph.branches.size(), {false, false});
  std::vector<bool> passed(graph.axis.nodes.size(), false);  // one pair runs through each junction
  const auto taken = [&](Arm arm) -> bool& { return joined[arm.branch][arm.end]; };
  for (const auto& pair : pairings(graph, arms)) {
    if (pair.bend_rad > kSharpestPair || taken(pair.a) || taken(pair.b)) continue;
    const int from = start_node(graph, pair.a), to = start_node(graph, pair.b);
    if (passed[from] || passed[to]) continue;
    if (pair.via >= 0) {
      auto& link = joined[pair.via];
      if (link[0] || link[1]) continue;
      link = {true, true};
    }
    taken(pair.a) = taken(pair.b) = true;
    passed[from] = passed[to] = true;
  }
  for (std::size_t node = 0; node < arms.size(); ++node) {
    if (wide[node]) continue;
    for (const Arm& arm : arms[node]) {
      const int next = node_along(graph, arm, 1);
      if (taken(arm) || wide[next]) continue;
      const Point start = graph.node(static_cast<int>(node)).at;
      const double length = geometry::distance(start, graph.node(next).at);
      const double t = length > 0 ? std::min(0.5, kMouthMm / length) : 0.5;
      const Feet feet = feet_at(graph, polygon, static_cast<int>(node), next, t);
      const Point along = heading(graph, arm, reach(graph, arm));
      const Point arm_side = geometry::mix(feet.left, feet.right, 0.5) + along * 0.05;
      out.cuts.push_back({feet.left, feet.right, arm_side, false, tuck_mm, along});
    }
  }
}

}  // namespace

Cuts find_cuts(const geometry::Polygon& polygon, const Recipe& recipe) {
  Cuts out;
  const auto result = geometry::medial_axis(polygon);
  if (!result.verified || result.axis.nodes.empty()) return out;
  out.trusted = true;
  const AxisGraph graph(without_stubs(result.axis, kSignificance, kStubMm));
  for (const auto& node : graph.axis.nodes)
    out.widest_mm = std::max(out.widest_mm, 2 * node.radius_mm);
  const auto wide = wide_nodes(graph, recipe);
  cut_off_arms(graph, polygon, wide, recipe, out);
  cut_junctions(graph, polygon, wide, recipe.thread_mm / 2, out);
  cut_corners(graph, polygon, wide, recipe.thread_mm / 2, out);
  return out;
}

}  // namespace buckram::digitise
