// Whether stitches stay within an area, asked many times: an index over the area's outline.
//
// limits.h asks it of every stitch, travel of every way under later cloth. Edges stand in square
// cells of about their mean spacing, so that a question looks at the few edges near the stitch,
// whatever the size of the outline. geometry::inside answers the same question in O(vertices).
#pragma once

#include "geometry/geometry.h"

#include <vector>

namespace buckram::stitch {

class Within {
 public:
  // The area by the even-odd rule of its rings. O(edges + cells they pass).
  explicit Within(const geometry::Polygons& area);

  // Half-open crossing rule, as geometry::contains. O(edges in one row of cells).
  bool contains(geometry::Point p) const;
  // Whether both ends are contained and no edge is crossed. Touching an edge from inside within
  // 1e-9 mm counts as not crossing.
  bool contains(geometry::Point a, geometry::Point b) const;
  const geometry::Box& box() const { return box_; }

 private:
  struct Edge {
    geometry::Point a, b;
  };
  int column(double x) const;
  int row(double y) const;
  // Calls visit(cell) for the cells that the segment passes, until it returns false.
  template <typename Visit>
  bool for_cells(geometry::Point a, geometry::Point b, const Visit& visit) const;
  bool crosses_any(geometry::Point a, geometry::Point b, std::size_t cell) const;

  std::vector<Edge> edges_;
  geometry::Box box_;
  double cell_mm_ = 1;
  int columns_ = 0, rows_ = 0;
  std::vector<int> cell_start_, cell_edges_;  // edges by cell, compressed
  std::vector<int> row_start_, row_edges_;    // edges by row of cells
};

}  // namespace buckram::stitch
