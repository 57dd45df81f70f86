#include "sequence/end_grid.h"

#include <algorithm>
#include <cmath>

namespace buckram::sequence {
namespace {

constexpr double kEndsACell = 2;

}  // namespace

EndGrid::EndGrid(const Links& links, const std::vector<int>& members) : links_(links) {
  std::size_t n_ends = 0;
  for (const int m : members) {
    for (const geometry::Point p : ends_of(m)) box_.add(p), ++n_ends;
  }
  if (box_.empty()) box_ = {0, 0, 0, 0};
  const double n_cells = std::max(1.0, static_cast<double>(n_ends) / kEndsACell);
  const double longest = std::max({box_.width(), box_.height(), 1e-3});
  // A row of ends has no area: never more cells along it than there are ends.
  pitch_mm_ = std::max(std::sqrt(box_.width() * box_.height() / n_cells), longest / n_cells);
  columns_ = column(box_.x1) + 1, rows_ = row(box_.y1) + 1;
  cells_.resize(static_cast<std::size_t>(columns_) * static_cast<std::size_t>(rows_));
  for (const int m : members) add(m);
}

std::vector<geometry::Point> EndGrid::ends_of(int object) const {
  std::vector<geometry::Point> ends;
  for (int w = 0; w < links_.n_ways(object); ++w) {
    ends.push_back(links_.entry({object, w}));
    ends.push_back(links_.exit({object, w}));
  }
  const auto less = [](geometry::Point a, geometry::Point b) {
    return a.x < b.x || (a.x == b.x && a.y < b.y);
  };
  std::sort(ends.begin(), ends.end(), less);
  ends.erase(std::unique(ends.begin(), ends.end()), ends.end());
  return ends;
}

int EndGrid::column(double x) const {
  return static_cast<int>(std::floor((x - box_.x0) / pitch_mm_));
}

int EndGrid::row(double y) const {
  return static_cast<int>(std::floor((y - box_.y0) / pitch_mm_));
}

std::vector<EndGrid::End>& EndGrid::cell_at(geometry::Point p) {
  const int i = std::clamp(column(p.x), 0, columns_ - 1), j = std::clamp(row(p.y), 0, rows_ - 1);
  return cells_[static_cast<std::size_t>(j) * static_cast<std::size_t>(columns_) +
                static_cast<std::size_t>(i)];
}

void EndGrid::add(int object) {
  for (const geometry::Point p : ends_of(object)) cell_at(p).push_back({p, object});
}

void EndGrid::remove(int object) {
  for (const geometry::Point p : ends_of(object)) {
    std::erase_if(cell_at(p), [&](const End& end) { return end.object == object; });
  }
}

std::vector<int> EndGrid::near(geometry::Point p, int n) const {
  const int i0 = std::clamp(column(p.x), 0, columns_ - 1);
  const int j0 = std::clamp(row(p.y), 0, rows_ - 1);
  struct Found {
    int object;
    double mm;
  };
  std::vector<Found> found;  // each object once
  const auto look = [&](int i, int j) {
    for (const End& end : cell(i, j)) {
      const double mm = geometry::distance(end.at, p);
      const auto known = std::find_if(found.begin(), found.end(),
                                      [&](const Found& f) { return f.object == end.object; });
      if (known == found.end())
        found.push_back({end.object, mm});
      else
        known->mm = std::min(known->mm, mm);
    }
  };
  int n_rings_more = -1;  // what lies beyond the first full ring may be nearer than its corners
  for (int ring = 0; ring <= std::max(columns_, rows_) && n_rings_more != 0; ++ring) {
    for (int j = std::max(0, j0 - ring); j <= std::min(rows_ - 1, j0 + ring); ++j) {
      const bool is_edge = std::abs(j - j0) == ring;
      const int step = is_edge || ring == 0 ? 1 : 2 * ring;
      for (int i = i0 - ring; i <= i0 + ring; i += step) {
        if (i >= 0 && i < columns_) look(i, j);
      }
    }
    if (n_rings_more > 0) --n_rings_more;
    const bool is_enough = static_cast<int>(found.size()) >= n;
    if (is_enough && n_rings_more < 0) n_rings_more = ring / 2 + 1;
  }
  std::sort(found.begin(), found.end(), [](const Found& a, const Found& b) {
    return a.mm < b.mm || (a.mm == b.mm && a.object < b.object);
  });
  std::vector<int> nearest;
  for (const Found& f : found) {
    if (static_cast<int>(nearest.size()) < n) nearest.push_back(f.object);
  }
  return nearest;
}

std::vector<int> EndGrid::near(int object, int n) const {
  std::vector<int> all;
  for (const geometry::Point p : ends_of(object)) {
    const std::vector<int> here = near(p, n + 1);
    all.insert(all.end(), here.begin(), here.end());
  }
  std::sort(all.begin(), all.end());
  all.erase(std::unique(all.begin(), all.end()), all.end());
  std::erase(all, object);
  return all;
}

}  // namespace buckram::sequence
