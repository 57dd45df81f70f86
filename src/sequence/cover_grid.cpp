#include "sequence/cover_grid.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace buckram::sequence {
namespace {

constexpr double kPitchMm = 0.2;
constexpr double kMostCells = 1e6;

}  // namespace

CoverGrid::CoverGrid(const std::vector<digitise::Object>& objects, double inset_mm)
    : n_objects_(static_cast<int>(objects.size())) {
  for (const digitise::Object& object : objects) box_.add(geometry::bounds(object.outline));
  if (box_.empty()) box_ = {0, 0, 0, 0};
  pitch_mm_ = std::max(kPitchMm, std::sqrt((box_.width() + 1) * (box_.height() + 1) / kMostCells));
  // One cell of margin all round, so that neighbours of a covered cell always exist.
  const double margin = pitch_mm_ * 2 + inset_mm;
  box_ = {box_.x0 - margin, box_.y0 - margin, box_.x1 + margin, box_.y1 + margin};
  columns_ = static_cast<int>(box_.width() / pitch_mm_) + 1;
  rows_ = static_cast<int>(box_.height() / pitch_mm_) + 1;
  const int reach = static_cast<int>(inset_mm / pitch_mm_);
  for (int j = -reach; j <= reach; ++j) {
    for (int i = -reach; i <= reach; ++i) {
      if (std::hypot(i, j) * pitch_mm_ <= inset_mm) disc_.push_back({i, j});
    }
  }

  struct Item {
    int cell, object;
  };
  std::vector<Item> found;
  const double first_row = box_.y0 + pitch_mm_ / 2;
  for (int o = 0; o < n_objects_; ++o) {
    const auto& outline = objects[static_cast<std::size_t>(o)].outline;
    for (const geometry::Row& row : geometry::hatch(outline, 0, pitch_mm_, first_row)) {
      const int j = static_cast<int>(std::lround((row.offset - first_row) / pitch_mm_));
      for (const geometry::Span& span : row.spans) {
        const int from = static_cast<int>(std::ceil((span.from - box_.x0) / pitch_mm_ - 0.5));
        const int to = static_cast<int>(std::floor((span.to - box_.x0) / pitch_mm_ - 0.5));
        for (int i = from; i <= to; ++i) found.push_back({j * columns_ + i, o});
      }
    }
  }
  start_.assign(static_cast<std::size_t>(n_cells()) + 1, 0);
  for (const Item& item : found) ++start_[static_cast<std::size_t>(item.cell) + 1];
  for (std::size_t k = 1; k < start_.size(); ++k) start_[k] += start_[k - 1];
  items_.resize(found.size());
  std::vector<int> next(start_.begin(), start_.end() - 1);
  for (const Item& item : found) {  // by object: each cell's list comes out sorted
    items_[static_cast<std::size_t>(next[static_cast<std::size_t>(item.cell)]++)] = item.object;
  }
  find_pieces();
}

// Whether every cell within the inset is covered by another object than `without`.
bool CoverGrid::is_deep(int cell, int without) const {
  return std::all_of(disc_.begin(), disc_.end(), [&](const Offset& d) {
    const auto list = objects_at(cell + d.j * columns_ + d.i);
    return !list.empty() && (list.front() != without || list.size() > 1);
  });
}

// Items of one object in neighbouring deep cells are one piece: joined by union and find.
void CoverGrid::find_pieces() {
  std::vector<int> parent(items_.size());
  std::iota(parent.begin(), parent.end(), 0);
  const auto root = [&](int i) {
    int& p = parent[static_cast<std::size_t>(i)];
    while (p != parent[static_cast<std::size_t>(p)]) p = parent[static_cast<std::size_t>(p)];
    return p;
  };
  std::vector<char> deep(static_cast<std::size_t>(n_cells()), 0);
  const auto join = [&](int cell, int other) {
    if (deep[static_cast<std::size_t>(other)] == 0) return;
    int i = start_[static_cast<std::size_t>(cell)], j = start_[static_cast<std::size_t>(other)];
    const int i_end = start_[static_cast<std::size_t>(cell) + 1];
    const int j_end = start_[static_cast<std::size_t>(other) + 1];
    while (i < i_end && j < j_end) {
      const int a = items_[static_cast<std::size_t>(i)], b = items_[static_cast<std::size_t>(j)];
      if (a == b) parent[static_cast<std::size_t>(root(i))] = root(j);
      i += a <= b, j += b <= a;
    }
  };
  for (int cell = 0; cell < n_cells(); ++cell) {
    if (objects_at(cell).empty() || !is_deep(cell, -1)) continue;
    deep[static_cast<std::size_t>(cell)] = 1;
    for (const int back : {1, columns_ - 1, columns_, columns_ + 1}) join(cell, cell - back);
  }

  std::vector<int> size(items_.size(), 0), largest(static_cast<std::size_t>(n_objects_), -1);
  const auto each_deep_item = [&](auto visit) {
    for (int cell = 0; cell < n_cells(); ++cell) {
      if (deep[static_cast<std::size_t>(cell)] == 0) continue;
      for (int i = start_[static_cast<std::size_t>(cell)];
           i < start_[static_cast<std::size_t>(cell) + 1]; ++i) {
        visit(static_cast<std::size_t>(i), static_cast<std::size_t>(root(i)));
      }
    }
  };
  each_deep_item([&](std::size_t item, std::size_t top) {
    int& best = largest[static_cast<std::size_t>(items_[item])];
    ++size[top];
    if (best < 0 || size[top] > size[static_cast<std::size_t>(best)]) best = static_cast<int>(top);
  });
  object_of_piece_.resize(static_cast<std::size_t>(n_objects_));
  std::iota(object_of_piece_.begin(), object_of_piece_.end(), 0);
  piece_.assign(items_.size(), -1);
  std::vector<int> piece_of_root(items_.size(), -1);
  each_deep_item([&](std::size_t item, std::size_t top) {
    const int object = items_[item];
    int& piece = piece_of_root[top];
    if (piece < 0) {
      const bool is_largest = largest[static_cast<std::size_t>(object)] == static_cast<int>(top);
      piece = is_largest ? object : n_pieces();
      if (!is_largest) object_of_piece_.push_back(object);
    }
    piece_[item] = piece;
  });
}

int CoverGrid::cell(geometry::Point p) const {
  const double i = std::floor((p.x - box_.x0) / pitch_mm_);
  const double j = std::floor((p.y - box_.y0) / pitch_mm_);
  if (!(i >= 0 && j >= 0 && i < columns_ && j < rows_)) return -1;
  return static_cast<int>(j) * columns_ + static_cast<int>(i);
}

geometry::Point CoverGrid::middle(int cell) const {
  return {box_.x0 + (cell % columns_ + 0.5) * pitch_mm_,
          box_.y0 + (cell / columns_ + 0.5) * pitch_mm_};
}

std::span<const int> CoverGrid::objects_at(int cell) const {
  const std::size_t k = static_cast<std::size_t>(cell);
  const std::size_t from = static_cast<std::size_t>(start_[k]);
  return std::span<const int>(items_).subspan(from, static_cast<std::size_t>(start_[k + 1]) - from);
}

std::vector<std::vector<int>> CoverGrid::neighbours() const {
  std::vector<ObjectSet> known(object_of_piece_.size(), ObjectSet(n_pieces()));
  std::vector<std::vector<int>> of(known.size());
  const auto covered_by_either = [this](int cell, int a, int b) {
    return std::all_of(disc_.begin(), disc_.end(), [&](const Offset& d) {
      const auto list = objects_at(cell + d.j * columns_ + d.i);
      return std::any_of(list.begin(), list.end(), [&](int o) { return o == a || o == b; });
    });
  };
  for (int cell = 0; cell < n_cells(); ++cell) {
    const int first = start_[static_cast<std::size_t>(cell)];
    const auto list = objects_at(cell);
    for (std::size_t k = 0; k < list.size(); ++k) {
      for (std::size_t l = k + 1; l < list.size(); ++l) {
        const int a = piece_[static_cast<std::size_t>(first) + k];
        const int b = piece_[static_cast<std::size_t>(first) + l];
        if (a < 0 || b < 0) continue;
        ObjectSet& seen = known[static_cast<std::size_t>(a)];
        if (seen.has(b) || !covered_by_either(cell, list[k], list[l])) continue;
        seen.add(b);
        of[static_cast<std::size_t>(a)].push_back(b);
        of[static_cast<std::size_t>(b)].push_back(a);
      }
    }
  }
  for (auto& list : of) std::sort(list.begin(), list.end());
  return of;
}

template <typename Visit>
void CoverGrid::each_near(geometry::Point p, double reach_mm, Visit visit) const {
  const int reach = static_cast<int>(std::ceil(reach_mm / pitch_mm_));
  for (int j = -reach; j <= reach; ++j) {
    for (int i = -reach; i <= reach; ++i) {
      const int c = cell({p.x + i * pitch_mm_, p.y + j * pitch_mm_});
      if (c >= 0 && geometry::distance(middle(c), p) <= reach_mm) visit(c);
    }
  }
}

std::vector<int> CoverGrid::pieces_near(geometry::Point p, double reach_mm, int without) const {
  std::vector<int> found;
  each_near(p, reach_mm, [&](int c) {
    if (objects_at(c).empty() || !is_deep(c, without)) return;
    for (int i = start_[static_cast<std::size_t>(c)]; i < start_[static_cast<std::size_t>(c) + 1];
         ++i) {
      const std::size_t item = static_cast<std::size_t>(i);
      if (items_[item] != without && piece_[item] >= 0) found.push_back(piece_[item]);
    }
  });
  std::sort(found.begin(), found.end());
  found.erase(std::unique(found.begin(), found.end()), found.end());
  return found;
}

std::vector<int> CoverGrid::near(geometry::Point p, double reach_mm) const {
  std::vector<int> found;
  each_near(p, reach_mm, [&](int c) {
    const auto list = objects_at(c);
    found.insert(found.end(), list.begin(), list.end());
  });
  std::sort(found.begin(), found.end());
  found.erase(std::unique(found.begin(), found.end()), found.end());
  return found;
}

CoverGrid::Window CoverGrid::window(const geometry::Box& box, int more_cells) const {
  const auto along = [&](double mm, int more, int n) {
    return std::clamp(static_cast<int>(std::floor(mm / pitch_mm_)) + more, 0, n - 1);
  };
  return {
      along(box.x0 - box_.x0, -more_cells, columns_), along(box.y0 - box_.y0, -more_cells, rows_),
      along(box.x1 - box_.x0, more_cells, columns_), along(box.y1 - box_.y0, more_cells, rows_)};
}

void CoverGrid::raise(const std::vector<int>& value_of_object, const geometry::Box& box,
                      std::vector<int>& heights, std::vector<int>& low) const {
  const auto each_cell = [&](const Window& w, auto visit) {
    for (int j = w.j0; j <= w.j1; ++j) {
      for (int i = w.i0; i <= w.i1; ++i) visit(j * columns_ + i);
    }
  };
  each_cell(window(box, 1), [&](int c) {
    int& h = heights[static_cast<std::size_t>(c)];
    h = -1;
    for (const int o : objects_at(c)) h = std::max(h, value_of_object[static_cast<std::size_t>(o)]);
  });
  int reach = 0;
  for (const Offset& d : disc_) reach = std::max(reach, d.i);
  each_cell(window(box, 1 + reach), [&](int c) {
    int& least = low[static_cast<std::size_t>(c)];
    least = heights[static_cast<std::size_t>(c)];
    if (least < 0) return;
    for (const Offset& d : disc_) {  // the margin keeps these inside the grid
      least = std::min(least, heights[static_cast<std::size_t>(c + d.j * columns_ + d.i)]);
    }
  });
}

}  // namespace buckram::sequence
