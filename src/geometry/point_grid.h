// Points in square cells: who is near, in constant time.
#pragma once

#include "geometry/point.h"

#include <cstdint>
#include <functional>
#include <span>
#include <unordered_map>
#include <vector>

namespace buckram::geometry {

class PointGrid {
 public:
  explicit PointGrid(double cell_mm);
  void add(Point p, int id);
  // Calls visit(id, point) for every point within `radius` of p: cells row by row, within a cell
  // in order of adding. O(cells in reach + points visited); a radius of one to two cells is best.
  void near(Point p, double radius_mm, const std::function<void(int, Point)>& visit) const;
  int count_near(Point p, double radius_mm) const;

 private:
  struct Entry {
    Point at;
    int id;
  };
  struct CellIndex {
    std::int32_t i, j;
  };
  double cell_mm_;
  CellIndex low_{INT32_MAX, INT32_MAX}, high_{INT32_MIN, INT32_MIN};  // of the cells in use
  std::unordered_map<std::int64_t, std::vector<Entry>> cells_;        // looked up, never walked
};

}  // namespace buckram::geometry
