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
  // Calls visit(id, point) for every point within `radius` of p, in order of adding within a cell.
  void near(Point p, double radius_mm, const std::function<void(int, Point)>& visit) const;
  int count_near(Point p, double radius_mm) const;

 private:
  struct Entry {
    Point at;
    int id;
  };
  double cell_mm_;
  std::unordered_map<std::int64_t, std::vector<Entry>> cells_;
};

}  // namespace buckram::geometry
