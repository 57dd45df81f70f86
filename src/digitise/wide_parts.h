// Which places of a shape's axis are sewn as a fill and which as columns. Not part of the door.
//
// A shape wider than a column somewhere is part fill, part columns: an arm that goes off it is a
// column. What is narrow only because something else lies on the same cloth is no arm: a strip
// beside a window sewn in another direction than its wall looks like a repair. Such a strip stays
// in the fill, unless it is a border, as long and thin as one that a hand would sew as a column
// round what it encloses.
#pragma once

#include "digitise/axis_graph.h"
#include "digitise/recipe.h"

#include <vector>

namespace buckram::digitise {

enum class AxisKind {
  narrow,   // a column
  covered,  // narrow, but drawn as part of something wide
  wide      // a fill
};

// A connected part of the axis, all of one kind.
struct AxisPart {
  AxisKind kind = AxisKind::narrow;
  double length_mm = 0, largest_radius_mm = 0;
  int widest_node = 0;
  std::vector<int> nodes;
  std::vector<int> contacts;  // edges to parts of other kinds
};

std::vector<AxisPart> parts_of(const AxisGraph& graph, const std::vector<AxisKind>& kinds);
std::vector<AxisPart> parts_of(const AxisGraph& graph, const std::vector<bool>& wide);

// By node: whether it is sewn as part of a fill. `drawn` is the shape before later ones hid part of
// it; empty: nothing did. Laws: without a place wider than a column none is wide, save in a shape
// with three holes or more cut into what was drawn wide (a wall of windows; letters have two holes
// at most); `drawn` equal to the polygon changes nothing. Four offsets where something is narrow.
std::vector<bool> wide_nodes(const AxisGraph& graph, const geometry::Polygon& polygon,
                             const Recipe& recipe, const geometry::Polygons& drawn);

}  // namespace buckram::digitise
