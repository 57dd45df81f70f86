#include "digitise/cuts.h"

#include "base/base.h"
#include "digitise/axis_graph.h"
#include "digitise/corners.h"
#include "digitise/feet.h"
#include "digitise/junctions.h"

#include <algorithm>
#include <cmath>

namespace buckram::digitise {
namespace {

using geometry::Point;

constexpr double kSignificance = 0.75;  // as in spine.cpp
constexpr double kStubMm = 0.6;         // shorter bumps are covered by the rungs that pass them
constexpr double kOneJunction = 0.15;   // of the radius: junctions so near are one
constexpr double kArmShape = 2.5;       // an arm is at least this many times as long as it is wide

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

}  // namespace

Cuts find_cuts(const geometry::Polygon& polygon, const Recipe& recipe) {
  Cuts out;
  const auto result = geometry::medial_axis(polygon);
  if (!result.verified || result.axis.nodes.empty()) return out;
  out.trusted = true;
  const auto is_end = [&](const AxisGraph& axis, const geometry::MedialBranch& branch) {
    return is_stroke_end(axis, polygon, branch);
  };
  const auto axis = with_joined_junctions(result.axis, kOneJunction, recipe.column_to_mm / 2);
  const AxisGraph graph(without_stubs(axis, kSignificance, kStubMm, is_end));
  for (const auto& node : graph.axis.nodes)
    out.widest_mm = std::max(out.widest_mm, 2 * node.radius_mm);
  const auto wide = wide_nodes(graph, recipe);
  cut_off_arms(graph, polygon, wide, recipe, out);
  cut_junctions(graph, polygon, wide, recipe.thread_mm / 2, out);
  cut_corners(graph, polygon, wide, recipe.thread_mm / 2, out);
  return out;
}

}  // namespace buckram::digitise
