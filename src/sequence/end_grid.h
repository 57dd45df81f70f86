// Ends of objects in square cells: which objects begin or end near each other.
//
// The order of thousands of objects cannot be sought among all pairs. Cells are as large as hold
// two ends on the average, and are looked at in rings round the place until no nearer end can lie
// outside.
#pragma once

#include "sequence/links.h"

#include <vector>

namespace buckram::sequence {

class EndGrid {
 public:
  // Entries and exits of every way of `members`; cells are laid out for these. O(ends).
  EndGrid(const Links& links, const std::vector<int>& members);

  // At least `n` objects (all, if there are fewer) with an end nearest to some end of `object`,
  // itself left out; sorted by index.
  std::vector<int> near(int object, int n) const;
  // The `n` objects with an end nearest to p, nearest first, ties by index.
  std::vector<int> near(geometry::Point p, int n) const;
  void add(int object);
  void remove(int object);

 private:
  struct End {
    geometry::Point at;
    int object;
  };
  int column(double x) const;
  int row(double y) const;
  const std::vector<End>& cell(int i, int j) const {
    return cells_[static_cast<std::size_t>(j) * static_cast<std::size_t>(columns_) +
                  static_cast<std::size_t>(i)];
  }
  std::vector<End>& cell_at(geometry::Point p);
  std::vector<geometry::Point> ends_of(int object) const;

  const Links& links_;
  geometry::Box box_;
  double pitch_mm_ = 1;
  int columns_ = 1, rows_ = 1;
  std::vector<std::vector<End>> cells_;
};

}  // namespace buckram::sequence
