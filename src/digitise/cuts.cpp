#include "digitise/cuts.h"

#include "base/base.h"
#include "digitise/axis_graph.h"
#include "digitise/corners.h"
#include "digitise/feet.h"
#include "digitise/junctions.h"
#include "digitise/wide_parts.h"

#include <algorithm>
#include <cmath>

namespace buckram::digitise {
namespace {

using geometry::Point;

constexpr double kSignificance = 0.75;  // as in spine.cpp
constexpr double kStubMm = 0.6;         // shorter bumps are covered by the rungs that pass them
constexpr double kOneJunction = 0.15;   // of the radius: junctions so near are one

void cut_off_arms(const AxisGraph& graph, const geometry::Polygon& polygon,
                  const std::vector<bool>& wide, const Recipe& recipe, Cuts& out) {
  for (const auto& part : parts_of(graph, wide)) {
    if (part.kind == AxisKind::wide) {
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

Cuts find_cuts(const geometry::Polygon& polygon, const Recipe& recipe,
               const geometry::Polygons& drawn) {
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
  const auto wide = wide_nodes(graph, polygon, recipe, drawn);
  cut_off_arms(graph, polygon, wide, recipe, out);
  cut_junctions(graph, polygon, wide, recipe.thread_mm / 2, out);
  cut_corners(graph, polygon, wide, recipe.thread_mm / 2, out);
  return out;
}

}  // namespace buckram::digitise
