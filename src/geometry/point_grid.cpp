#include "geometry/point_grid.h"

#include "base/base.h"

#include <algorithm>
#include <cmath>

namespace buckram::geometry {

namespace {

constexpr double kFarthestCell = 2'000'000'000;

std::int32_t cell_of(double x, double cell_mm) {
  const double cell = std::floor(x / cell_mm);
  // NaN goes to the lowest cell, where no finite query looks
  return static_cast<std::int32_t>(
      std::isnan(cell) ? -kFarthestCell : std::clamp(cell, -kFarthestCell, kFarthestCell));
}

std::int64_t key_of(std::int32_t i, std::int32_t j) {
  return static_cast<std::int64_t>(
      (static_cast<std::uint64_t>(static_cast<std::uint32_t>(i)) << 32) |
      static_cast<std::uint32_t>(j));
}

}  // namespace

PointGrid::PointGrid(double cell_mm) : cell_mm_(cell_mm) {
  BUCKRAM_ASSERT(cell_mm > 0);
}

void PointGrid::add(Point p, int id) {
  const CellIndex c{cell_of(p.x, cell_mm_), cell_of(p.y, cell_mm_)};
  low_ = {std::min(low_.i, c.i), std::min(low_.j, c.j)};
  high_ = {std::max(high_.i, c.i), std::max(high_.j, c.j)};
  cells_[key_of(c.i, c.j)].push_back({p, id});
}

void PointGrid::near(Point p, double radius_mm,
                     const std::function<void(int, Point)>& visit) const {
  const std::int64_t i0 = std::max(cell_of(p.x - radius_mm, cell_mm_), low_.i);
  const std::int64_t j0 = std::max(cell_of(p.y - radius_mm, cell_mm_), low_.j);
  const std::int64_t i1 = std::min(cell_of(p.x + radius_mm, cell_mm_), high_.i);
  const std::int64_t j1 = std::min(cell_of(p.y + radius_mm, cell_mm_), high_.j);
  for (std::int64_t j = j0; j <= j1; ++j) {
    for (std::int64_t i = i0; i <= i1; ++i) {
      const auto found =
          cells_.find(key_of(static_cast<std::int32_t>(i), static_cast<std::int32_t>(j)));
      if (found == cells_.end()) continue;
      for (const Entry& entry : found->second) {
        const Point d = entry.at - p;
        if (dot(d, d) <= radius_mm * radius_mm) visit(entry.id, entry.at);
      }
    }
  }
}

int PointGrid::count_near(Point p, double radius_mm) const {
  int n = 0;
  near(p, radius_mm, [&n](int, Point) { ++n; });
  return n;
}

}  // namespace buckram::geometry
