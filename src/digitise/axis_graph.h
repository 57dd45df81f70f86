// A pruned medial axis as branches between junctions, with directions and mouths.
#pragma once

#include "geometry/geometry.h"

#include <functional>
#include <vector>

namespace buckram::digitise {

struct AxisGraph {
  geometry::MedialAxis axis;
  std::vector<geometry::MedialBranch> branches;
  std::vector<std::vector<int>> edges_at;  // edge indices by node

  explicit AxisGraph(geometry::MedialAxis pruned_axis);
  int degree(int node) const { return static_cast<int>(edges_at[node].size()); }
  const geometry::MedialNode& node(int i) const { return axis.nodes[i]; }
  // The edge between two neighbouring nodes; -1 when there is none.
  int edge_between(int a, int b) const;
};

// One end of a branch: 0 its first node, 1 its last.
struct Arm {
  int branch = 0;
  int end = 0;
  friend auto operator<=>(const Arm&, const Arm&) = default;
};

int start_node(const AxisGraph& graph, Arm arm);
// The k-th node from the arm's start (clamped to the other end).
int node_along(const AxisGraph& graph, Arm arm, int k);
// Unit direction from the arm's start to the place `reach_mm` along it.
geometry::Point heading(const AxisGraph& graph, Arm arm, double reach_mm);

// Drops free branches that stick out of their junction's disc by less than `least_mm`, or than
// `significance` times the disc's radius, all of one junction at once (the two corners of a
// stroke's end go together), until none is left. An axis that is nothing but such branches becomes
// its widest node alone. Branches that `is_kept` stay.
using KeepBranch = std::function<bool(const AxisGraph&, const geometry::MedialBranch&)>;
geometry::MedialAxis without_stubs(geometry::MedialAxis axis, double significance, double least_mm,
                                   const KeepBranch& is_kept = {});

// Joins junctions of up to `widest_mm` radius that are nearer to each other than `share` of it, as
// where three strokes cross in one place, into the widest of them.
geometry::MedialAxis with_joined_junctions(const geometry::MedialAxis& axis, double share,
                                           double widest_mm);

}  // namespace buckram::digitise
