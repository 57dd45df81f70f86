#include "digitise/wide_parts.h"

#include <algorithm>
#include <cmath>

namespace buckram::digitise {
namespace {

using geometry::Polygon;
using geometry::Polygons;

constexpr double kArmShape = 2.5;      // an arm is at least this many times as long as it is wide
constexpr double kBorderShape = 6;     // a border likewise, between corners and junctions
constexpr double kBorderMm = 3;        // and no wider, where it was drawn as part of something wide
constexpr double kLeastStripMm = 1.8;  // thinner, rows of a fill would leave its edges bare
constexpr int kLeastWindows = 3;       // holes of a wall
constexpr double kStepMm = 0.5;        // between places where a width is asked

// A crossing of strokes or a short swelling, not a part of its own.
bool passing_swelling(const AxisPart& part, const Recipe& recipe) {
  return part.length_mm < 0.8 * part.largest_radius_mm &&
         2 * part.largest_radius_mm < 1.5 * recipe.column_to_mm;
}

bool too_short_for_arm(const AxisGraph& graph, const AxisPart& part) {
  double widest = 0;
  for (const int e : part.contacts) {
    const auto& edge = graph.axis.edges[e];
    widest = std::max(widest, geometry::distance(edge.foot_left, edge.foot_right));
  }
  return part.length_mm < kArmShape * widest;
}

std::vector<bool> nodes_in(const AxisGraph& graph, const AxisPart& part) {
  std::vector<bool> is_in(graph.axis.nodes.size(), false);
  for (const int node : part.nodes) is_in[node] = true;
  return is_in;
}

// The median over places evenly along the axis: nodes are few where the outline is straight.
double typical_width(const AxisGraph& graph, const AxisPart& part, const std::vector<bool>& is_in) {
  std::vector<double> widths;
  for (const auto& edge : graph.axis.edges) {
    if (!is_in[edge.from] || !is_in[edge.to]) continue;
    const auto &a = graph.node(edge.from), &b = graph.node(edge.to);
    const int n = static_cast<int>(std::ceil(geometry::distance(a.at, b.at) / kStepMm));
    for (int k = 0; k < n; ++k)
      widths.push_back(2 * (a.radius_mm + (b.radius_mm - a.radius_mm) * (k + 0.5) / n));
  }
  if (widths.empty()) return 2 * part.largest_radius_mm;
  const auto middle = widths.begin() + static_cast<std::ptrdiff_t>(widths.size() / 2);
  std::nth_element(widths.begin(), middle, widths.end());
  return *middle;
}

// Of one branch within the part.
double longest_stretch(const AxisGraph& graph, const std::vector<bool>& is_in) {
  double longest = 0;
  for (const auto& branch : graph.branches) {
    double mm = 0;
    for (std::size_t k = 1; k < branch.nodes.size(); ++k) {
      const int a = branch.nodes[k - 1], b = branch.nodes[k];
      if (is_in[a] && is_in[b]) mm += geometry::distance(graph.node(a).at, graph.node(b).at);
    }
    longest = std::max(longest, mm);
  }
  return longest;
}

bool is_border(const AxisGraph& graph, const AxisPart& part, double widest_mm) {
  const auto is_in = nodes_in(graph, part);
  const double width_mm = typical_width(graph, part, is_in);
  return width_mm <= widest_mm && longest_stretch(graph, is_in) >= kBorderShape * width_mm;
}

// Whether the part leads from one part back to the same: it goes round a hole.
bool goes_round(const AxisGraph& graph, const std::vector<AxisPart>& parts, std::size_t own) {
  const AxisPart& part = parts[own];
  const bool has_free_end = std::any_of(part.nodes.begin(), part.nodes.end(),
                                        [&](int node) { return graph.degree(node) == 1; });
  if (part.contacts.size() < 2 || has_free_end) return false;
  std::vector<std::size_t> part_of(graph.axis.nodes.size(), 0);
  for (std::size_t p = 0; p < parts.size(); ++p)
    for (const int node : parts[p].nodes) part_of[node] = p;
  const auto beyond = [&](int e) {
    const auto& edge = graph.axis.edges[e];
    return part_of[edge.from] == own ? part_of[edge.to] : part_of[edge.from];
  };
  return std::all_of(part.contacts.begin(), part.contacts.end(),
                     [&](int e) { return beyond(e) == beyond(part.contacts.front()); });
}

void set_all(std::vector<AxisKind>& kinds, const AxisPart& part, AxisKind kind) {
  for (const int node : part.nodes) kinds[node] = kind;
}

// Where the middle of a strip of kLeastStripMm or more may run within what is wider than a column.
Polygons wide_of(const Polygons& area, const Recipe& recipe) {
  const double radius_mm = recipe.column_to_mm / 2 - recipe.compensation_mm;
  return geometry::offset(geometry::offset(area, -radius_mm), radius_mm - kLeastStripMm / 2);
}

// Narrow places that were drawn wide become covered, and wide unless they are borders.
void fill_covered(const AxisGraph& graph, const Polygon& polygon, const Recipe& recipe,
                  const Polygons& drawn, std::vector<AxisKind>& kinds) {
  const auto drawn_wide = wide_of(drawn, recipe);
  if (drawn_wide.empty()) return;
  const auto still_wide = wide_of({polygon}, recipe);
  for (std::size_t i = 0; i < kinds.size(); ++i) {
    const geometry::Point p = graph.node(static_cast<int>(i)).at;
    if (kinds[i] == AxisKind::narrow && geometry::contains(drawn_wide, p) &&
        !geometry::contains(still_wide, p))
      kinds[i] = AxisKind::covered;
  }
  for (const AxisPart& part : parts_of(graph, kinds)) {
    if (part.kind != AxisKind::covered) continue;
    set_all(kinds, part, is_border(graph, part, kBorderMm) ? AxisKind::narrow : AxisKind::wide);
  }
}

}  // namespace

std::vector<AxisPart> parts_of(const AxisGraph& graph, const std::vector<AxisKind>& kinds) {
  std::vector<AxisPart> parts;
  std::vector<bool> seen(graph.axis.nodes.size(), false);
  for (int start = 0; start < static_cast<int>(seen.size()); ++start) {
    if (seen[start]) continue;
    AxisPart part;
    part.kind = kinds[start];
    part.widest_node = start;
    part.nodes = {start};
    seen[start] = true;
    for (std::size_t i = 0; i < part.nodes.size(); ++i) {
      const int at = part.nodes[i];
      if (graph.node(at).radius_mm > part.largest_radius_mm) {
        part.largest_radius_mm = graph.node(at).radius_mm;
        part.widest_node = at;
      }
      for (const int e : graph.edges_at[at]) {
        const auto& edge = graph.axis.edges[e];
        const int next = edge.from == at ? edge.to : edge.from;
        if (kinds[next] != part.kind) {
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

std::vector<AxisPart> parts_of(const AxisGraph& graph, const std::vector<bool>& wide) {
  std::vector<AxisKind> kinds;
  for (const bool is_wide : wide) kinds.push_back(is_wide ? AxisKind::wide : AxisKind::narrow);
  return parts_of(graph, kinds);
}

std::vector<bool> wide_nodes(const AxisGraph& graph, const Polygon& polygon, const Recipe& recipe,
                             const Polygons& drawn) {
  std::vector<AxisKind> kinds;
  for (const auto& node : graph.axis.nodes) {
    const bool is_wide = 2 * (node.radius_mm + recipe.compensation_mm) > recipe.column_to_mm;
    kinds.push_back(is_wide ? AxisKind::wide : AxisKind::narrow);
  }
  for (const AxisPart& part : parts_of(graph, kinds)) {
    if (part.kind == AxisKind::wide && passing_swelling(part, recipe))
      set_all(kinds, part, AxisKind::narrow);
  }
  const auto is_narrow = [](AxisKind kind) { return kind == AxisKind::narrow; };
  const bool is_all_narrow = std::all_of(kinds.begin(), kinds.end(), is_narrow);
  const bool may_be_wall = polygon.holes.size() >= kLeastWindows;
  if (std::any_of(kinds.begin(), kinds.end(), is_narrow) && (!is_all_narrow || may_be_wall))
    fill_covered(graph, polygon, recipe, drawn, kinds);
  const auto parts = parts_of(graph, kinds);
  for (std::size_t p = 0; p < parts.size(); ++p) {
    const AxisPart& part = parts[p];
    if (!is_narrow(part.kind) || part.contacts.empty()) continue;
    const bool is_strip =
        goes_round(graph, parts, p) && !is_border(graph, part, recipe.column_to_mm);
    if (is_strip || too_short_for_arm(graph, part)) set_all(kinds, part, AxisKind::wide);
  }
  std::vector<bool> wide;
  for (const AxisKind kind : kinds) wide.push_back(kind == AxisKind::wide);
  return wide;
}

}  // namespace buckram::digitise
