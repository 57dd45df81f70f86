#include "stitch/within.h"

#include <algorithm>
#include <cmath>

namespace buckram::stitch {
namespace {

constexpr int kMostCellsAcross = 256;

// Whether the open segments cross properly.
bool cross_properly(geometry::Point a, geometry::Point b, geometry::Point c, geometry::Point d) {
  constexpr double kTouch = 1e-9;
  const geometry::Point ab = b - a, cd = d - c;
  const double side_c = geometry::cross(ab, c - a), side_d = geometry::cross(ab, d - a);
  const double side_a = geometry::cross(cd, a - c), side_b = geometry::cross(cd, b - c);
  const double slack_ab = kTouch * geometry::norm(ab), slack_cd = kTouch * geometry::norm(cd);
  const bool splits_cd =
      (side_c > slack_ab && side_d < -slack_ab) || (side_c < -slack_ab && side_d > slack_ab);
  const bool splits_ab =
      (side_a > slack_cd && side_b < -slack_cd) || (side_a < -slack_cd && side_b > slack_cd);
  return splits_cd && splits_ab;
}

// Compressed lists: `start[k]` to `start[k+1]` in `items` belong to k. Two passes over `visit`,
// which calls its argument with (list, item).
template <typename Visit>
void fill_lists(std::size_t n_lists, std::vector<int>& start, std::vector<int>& items,
                const Visit& visit) {
  start.assign(n_lists + 1, 0);
  visit([&](std::size_t list, int) { ++start[list + 1]; });
  for (std::size_t k = 0; k < n_lists; ++k) start[k + 1] += start[k];
  items.assign(static_cast<std::size_t>(start[n_lists]), 0);
  std::vector<int> next(start.begin(), start.end() - 1);
  visit([&](std::size_t list, int item) { items[static_cast<std::size_t>(next[list]++)] = item; });
}

}  // namespace

template <typename Visit>
bool Within::for_cells(geometry::Point a, geometry::Point b, const Visit& visit) const {
  if (a.y > b.y) std::swap(a, b);
  const int j0 = row(a.y), j1 = row(b.y);
  for (int j = j0; j <= j1; ++j) {
    const double y0 = std::max(a.y, box_.y0 + j * cell_mm_);
    const double y1 = std::min(b.y, box_.y0 + (j + 1) * cell_mm_);
    const double slope = b.y > a.y ? (b.x - a.x) / (b.y - a.y) : 0;
    // The part of the segment in this row, a little wider so that rounding leaves no cell out.
    const double xa = j == j0 || j0 == j1 ? a.x : a.x + slope * (y0 - a.y);
    const double xb = j == j1 || j0 == j1 ? b.x : a.x + slope * (y1 - a.y);
    const double margin = cell_mm_ * 1e-3;
    for (int i = column(std::min(xa, xb) - margin); i <= column(std::max(xa, xb) + margin); ++i) {
      if (!visit(static_cast<std::size_t>(j) * columns_ + i)) return false;
    }
  }
  return true;
}

Within::Within(const geometry::Polygons& area) {
  const auto add_ring = [this](const geometry::Ring& ring) {
    for (std::size_t i = 0; i < ring.size(); ++i) {
      edges_.push_back({ring[i], ring[(i + 1) % ring.size()]});
      box_.add(ring[i]);
    }
  };
  for (const geometry::Polygon& polygon : area) {
    add_ring(polygon.outer);
    for (const geometry::Ring& hole : polygon.holes) add_ring(hole);
  }
  if (edges_.empty()) return;
  const double extent = std::max({box_.width(), box_.height(), 1e-6});
  const double across = std::clamp(std::sqrt(static_cast<double>(edges_.size())) * 1.5, 1.0,
                                   static_cast<double>(kMostCellsAcross));
  cell_mm_ = extent / across;
  columns_ = static_cast<int>(box_.width() / cell_mm_) + 1;
  rows_ = static_cast<int>(box_.height() / cell_mm_) + 1;

  const auto rows_of_edges = [this](const auto& put) {
    for (std::size_t e = 0; e < edges_.size(); ++e) {
      const auto [low, high] = std::minmax(edges_[e].a.y, edges_[e].b.y);
      for (int j = row(low); j <= row(high); ++j)
        put(static_cast<std::size_t>(j), static_cast<int>(e));
    }
  };
  const auto cells_of_edges = [this](const auto& put) {
    for (std::size_t e = 0; e < edges_.size(); ++e) {
      for_cells(edges_[e].a, edges_[e].b, [&](std::size_t cell) {
        put(cell, static_cast<int>(e));
        return true;
      });
    }
  };
  fill_lists(static_cast<std::size_t>(rows_), row_start_, row_edges_, rows_of_edges);
  fill_lists(static_cast<std::size_t>(rows_) * columns_, cell_start_, cell_edges_, cells_of_edges);
}

int Within::column(double x) const {
  return std::clamp(static_cast<int>((x - box_.x0) / cell_mm_), 0, columns_ - 1);
}

int Within::row(double y) const {
  return std::clamp(static_cast<int>((y - box_.y0) / cell_mm_), 0, rows_ - 1);
}

bool Within::contains(geometry::Point p) const {
  const bool in_box = p.x >= box_.x0 && p.x <= box_.x1 && p.y >= box_.y0 && p.y <= box_.y1;
  if (!in_box) return false;
  const std::size_t j = static_cast<std::size_t>(row(p.y));
  bool is_inside = false;
  for (int k = row_start_[j]; k < row_start_[j + 1]; ++k) {
    const Edge& edge = edges_[static_cast<std::size_t>(row_edges_[static_cast<std::size_t>(k)])];
    if ((edge.a.y > p.y) == (edge.b.y > p.y)) continue;
    const double x = edge.a.x + (p.y - edge.a.y) / (edge.b.y - edge.a.y) * (edge.b.x - edge.a.x);
    if (p.x < x) is_inside = !is_inside;
  }
  return is_inside;
}

bool Within::crosses_any(geometry::Point a, geometry::Point b, std::size_t cell) const {
  for (int k = cell_start_[cell]; k < cell_start_[cell + 1]; ++k) {
    const Edge& edge = edges_[static_cast<std::size_t>(cell_edges_[static_cast<std::size_t>(k)])];
    if (cross_properly(a, b, edge.a, edge.b)) return true;
  }
  return false;
}

bool Within::contains(geometry::Point a, geometry::Point b) const {
  if (!contains(a) || !contains(b)) return false;
  const bool is_clear = for_cells(a, b, [&](std::size_t cell) { return !crosses_any(a, b, cell); });
  // Passing exactly through vertices leaves no proper crossing; the middle then tells.
  return is_clear && contains(geometry::mix(a, b, 0.5));
}

}  // namespace buckram::stitch
