#include "digitise/split.h"

#include <algorithm>

namespace buckram::digitise {
namespace {

using geometry::Point;
using geometry::Polygon;
using geometry::Polygons;

constexpr double kSlitHalfMm = 0.001;
constexpr double kSlitOverMm = 0.003;
constexpr double kLeastAreaMm2 = 0.001;

geometry::Ring quad(Point a, Point b, Point n, double from, double to) {
  geometry::Ring ring{a + n * from, b + n * from, b + n * to, a + n * to};
  if (geometry::area(ring) < 0) std::reverse(ring.begin(), ring.end());
  return ring;
}

// Unit normal of the chord, towards the arm.
Point towards_arm(const Cut& cut) {
  Point n = geometry::left_of(geometry::unit(cut.b - cut.a));
  return geometry::dot(cut.arm - cut.a, n) < 0 ? n * -1 : n;
}

Polygons slits(const std::vector<Cut>& cuts) {
  std::vector<geometry::Ring> rings;
  for (const Cut& cut : cuts) {
    const Point d = geometry::unit(cut.b - cut.a);
    rings.push_back(quad(cut.a - d * kSlitOverMm, cut.b + d * kSlitOverMm, geometry::left_of(d),
                         -kSlitHalfMm, kSlitHalfMm));
  }
  return geometry::unite(rings, geometry::FillRule::nonzero);
}

int cell_at(const std::vector<Cell>& cells, Point p) {
  for (std::size_t i = 0; i < cells.size(); ++i) {
    if (geometry::contains(cells[i].area, p)) return static_cast<int>(i);
  }
  return -1;
}

// Whether `cell` has to wait for `other`, directly or not.
bool waits_for(const std::vector<Cell>& cells, int cell, int other) {
  std::vector<bool> seen(cells.size(), false);
  std::vector<int> open{cell};
  while (!open.empty()) {
    const int at = open.back();
    open.pop_back();
    if (at == other) return true;
    if (seen[at]) continue;
    seen[at] = true;
    open.insert(open.end(), cells[at].after.begin(), cells[at].after.end());
  }
  return false;
}

void put_after(std::vector<Cell>& cells, int cell, int before) {
  auto& after = cells[cell].after;
  if (std::find(after.begin(), after.end(), before) != after.end()) return;
  if (!waits_for(cells, before, cell)) after.push_back(before);
}

struct Tuck {
  int arm = 0;
  Polygons strip;
};

void extend(Cell& cell, const Polygons& strips) {
  Polygons grown = geometry::unite({cell.area}, strips);
  const auto largest = std::max_element(
      grown.begin(), grown.end(),
      [](const auto& a, const auto& b) { return geometry::area(a) < geometry::area(b); });
  if (largest != grown.end()) cell.area = std::move(*largest);
}

std::vector<Tuck> tucks(const std::vector<Cut>& cuts, const Polygon& polygon,
                        std::vector<Cell>& cells) {
  std::vector<Tuck> all;
  for (const Cut& cut : cuts) {
    const Point n = towards_arm(cut);
    const Point middle = geometry::mix(cut.a, cut.b, 0.5);
    const int arm = cell_at(cells, middle + n * 0.01);
    const int other = cell_at(cells, middle - n * 0.01);
    if (arm < 0 || other < 0 || arm == other) continue;
    if (cut.arm_on_top)
      put_after(cells, arm, other);
    else
      put_after(cells, other, arm);
    const Polygons strip = geometry::intersect(
        {Polygon{quad(cut.a, cut.b, n, -cut.tuck_mm, 2 * kSlitHalfMm), {}}}, {polygon});
    all.push_back({arm, strip});
  }
  return all;
}

}  // namespace

std::vector<Cell> split(const Polygon& polygon, const Recipe& recipe) {
  const Cuts found = find_cuts(polygon, recipe);
  if (found.cuts.empty()) return {{polygon, !found.trusted || !found.wide.empty(), {}}};
  std::vector<Cell> cells;
  for (Polygon& part : geometry::subtract({polygon}, slits(found.cuts))) {
    if (geometry::area(part) >= kLeastAreaMm2) cells.push_back({std::move(part), false, {}});
  }
  for (const Point& p : found.wide) {
    const int at = cell_at(cells, p);
    if (at >= 0) cells[at].wide = true;
  }
  // All strips are found before any cell grows, so that no cell is asked for in another's tuck.
  const auto strips = tucks(found.cuts, polygon, cells);
  for (std::size_t i = 0; i < cells.size(); ++i) {
    Polygons mine;
    for (const auto& tuck : strips) {
      if (tuck.arm == static_cast<int>(i))
        mine.insert(mine.end(), tuck.strip.begin(), tuck.strip.end());
    }
    if (!mine.empty()) extend(cells[i], mine);
  }
  return cells;
}

}  // namespace buckram::digitise
