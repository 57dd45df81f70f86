#include "digitise/small_rows.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace buckram::digitise {
namespace {

using geometry::Box;

constexpr int kLeastInRow = 3;
constexpr double kGap = 1.4;  // spaced capitals; between neighbours, times the taller one's height
constexpr double kAlike = 0.45;     // the lower one's height over the taller one's
constexpr double kLowestMm = 1.5;   // dots and dashes are no letters
constexpr double kLongest = 2.5;    // times as wide as high: a bar is no letter
constexpr double kSize40Mm = 0.40;  // drawn width of size-40 thread
constexpr double kToleranceMm = 0.1;

double gap(const Box& a, const Box& b) {
  const double dx = std::max({0.0, a.x0 - b.x1, b.x0 - a.x1});
  const double dy = std::max({0.0, a.y0 - b.y1, b.y0 - a.y1});
  return std::hypot(dx, dy);
}

bool is_beside(const Box& a, const Box& b) {
  const double tall = std::max(a.height(), b.height()), low = std::min(a.height(), b.height());
  const double rise = std::abs(a.middle().y - b.middle().y);  // lines of text stay apart
  return low >= kAlike * tall && rise < 0.6 * tall && gap(a, b) <= kGap * tall;
}

bool may_be_letter(const Box& box) {
  return box.height() >= kLowestMm && box.width() <= kLongest * box.height();
}

int find(std::vector<int>& parent, int i) {
  while (parent[i] != i) i = parent[i] = parent[parent[i]];
  return i;
}

// Shapes of each row, by the first of them.
std::vector<std::vector<int>> rows_of(const std::vector<Shape>& shapes) {
  const int n = static_cast<int>(shapes.size());
  std::vector<int> parent(shapes.size());
  std::iota(parent.begin(), parent.end(), 0);
  for (int i = 0; i < n; ++i) {
    if (!may_be_letter(shapes[i].box)) continue;
    for (int k = 0; k < i; ++k) {
      if (shapes[k].thread != shapes[i].thread || !may_be_letter(shapes[k].box)) continue;
      if (!is_beside(shapes[i].box, shapes[k].box)) continue;
      const int a = find(parent, i), b = find(parent, k);
      parent[std::max(a, b)] = std::min(a, b);
    }
  }
  std::vector<std::vector<int>> rows(shapes.size());
  for (int i = 0; i < n; ++i) rows[find(parent, i)].push_back(i);
  return rows;
}

}  // namespace

double least_lettering_mm(const Recipe& recipe) {
  return (recipe.style == Style::cap ? 6.4 : 5.0) * recipe.thread_mm / kSize40Mm;
}

std::vector<artwork::Note> small_rows(const std::vector<Shape>& shapes, const Recipe& recipe) {
  const double least = least_lettering_mm(recipe);
  std::vector<artwork::Note> notes;
  for (const auto& row : rows_of(shapes)) {
    if (row.size() < kLeastInRow) continue;
    Box all = shapes[row.front()].box;
    double tallest = 0;
    for (const int i : row) {
      const Box& box = shapes[i].box;
      tallest = std::max(tallest, box.height());
      all.add(box);
    }
    if (tallest >= least - kToleranceMm) continue;
    notes.push_back({"small", shapes[row.front()].source, all.middle(),
                     fmt::format("{} letters or details in a row, {:.1f} mm high, under {:.1f} mm: "
                                 "make them larger, or sew them with finer thread and a size 65 "
                                 "or 70 needle",
                                 row.size(), tallest, least)});
  }
  return notes;
}

}  // namespace buckram::digitise
