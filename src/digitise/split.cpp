#include "digitise/split.h"

#include "base/base.h"

#include <algorithm>
#include <cmath>

namespace buckram::digitise {
namespace {

using geometry::Point;
using geometry::Polygon;
using geometry::Polygons;

constexpr double kSlitHalfMm = 0.001;
constexpr double kSlitOverMm = 0.003;
constexpr double kSlitMm2 = 0.02;
constexpr std::size_t kMostCutsWeighed = 150;  // a joined word of script has about 60
constexpr double kLeastAreaMm2 = 0.001;
constexpr double kLeastCellMm2 = 0.3, kLeastCellMm = 0.35;  // smaller: no object of its own
constexpr double kMostLean = 30 * base::kPi / 180;          // of an end that butts

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

bool has(const std::vector<int>& list, int cell) {
  return std::find(list.begin(), list.end(), cell) != list.end();
}

// Two cells may meet in several cuts; a tuck beside a cover is none.
void put_after(std::vector<Cell>& cells, int cell, int before, bool is_tuck) {
  auto& after = cells[cell].after;
  auto& tucked = cells[cell].tucked;
  if (has(after, before)) {
    if (!is_tuck) std::erase(tucked, before);
  } else if (!waits_for(cells, before, cell)) {
    after.push_back(before);
    if (is_tuck) tucked.push_back(before);
  }
}

// The arm carried on beyond its mouth in its own direction, as wide as the mouth, until a line
// across it that leans by no more than kMostLean has passed the mouth by the tuck: so the arm's
// threads need not turn to a mouth that it meets aslant.
geometry::Ring carried_on(const Cut& cut) {
  const Point n = towards_arm(cut);
  Point d = n * -1;
  if (cut.along != Point{} && geometry::dot(cut.along, n) > 0.17) d = cut.along * -1;
  const Point across = geometry::left_of(d);
  Point chord = geometry::unit(cut.b - cut.a);
  if (geometry::dot(chord, across) < 0) chord = chord * -1;
  const double lean = std::atan2(geometry::cross(across, chord), geometry::dot(across, chord));
  const double kept = std::clamp(lean, -kMostLean, kMostLean);
  const Point m{d.x * std::cos(kept) - d.y * std::sin(kept),
                d.x * std::sin(kept) + d.y * std::cos(kept)};
  const double depth = std::max(geometry::dot(cut.a, m), geometry::dot(cut.b, m)) + cut.tuck_mm;
  const double most = std::max(2 * cut.tuck_mm, geometry::distance(cut.a, cut.b));
  const auto beyond = [&](Point p) {
    return p + d * std::min(most, (depth - geometry::dot(p, m)) / geometry::dot(d, m));
  };
  const Point back = n * (2 * kSlitHalfMm);
  geometry::Ring ring{cut.a + back, cut.b + back, beyond(cut.b), beyond(cut.a)};
  if (geometry::area(ring) < 0) std::reverse(ring.begin(), ring.end());
  return ring;
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
  if (largest == grown.end()) return;
  cell.area = std::move(*largest);
  // What the slits leave open between a cell and its tuck is no hole.
  std::erase_if(cell.area.holes, [](const auto& hole) { return -geometry::area(hole) < kSlitMm2; });
}

// The band between the mouths of two arms that are sewn in one.
Polygons band(const Cut& a, const Cut& b, const Polygon& polygon) {
  const Point n = towards_arm(a) * (2 * kSlitHalfMm), m = towards_arm(b) * (2 * kSlitHalfMm);
  geometry::Ring ring{a.a + n, a.b + n, b.a + m, b.b + m};
  if (geometry::dot(a.b - a.a, b.b - b.a) > 0) std::swap(ring[2], ring[3]);
  if (geometry::area(ring) < 0) std::reverse(ring.begin(), ring.end());
  return geometry::intersect({Polygon{std::move(ring), {}}}, {polygon});
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
      put_after(cells, arm, other, false);
    else
      put_after(cells, other, arm, cut.opposite < 0);  // what passes right under shows
    if (cut.opposite >= 0) {
      all.push_back({arm, band(cut, cuts[static_cast<std::size_t>(cut.opposite)], polygon)});
      continue;
    }
    const Polygons strip = geometry::intersect({Polygon{carried_on(cut), {}}}, {polygon});
    all.push_back({arm, strip});
  }
  return all;
}

std::vector<Cell> cells_between(const std::vector<Cut>& cuts, const Polygon& polygon,
                                double widest_mm) {
  std::vector<Cell> cells;
  for (Polygon& part : geometry::subtract({polygon}, slits(cuts))) {
    if (geometry::area(part) >= kLeastAreaMm2)
      cells.push_back({std::move(part), false, widest_mm, {}});
  }
  return cells;
}

// The longest cut of the first cell that is too small to sew; none: -1.
int needless_cut(const std::vector<Cut>& cuts, const std::vector<Cell>& cells) {
  std::vector<double> chord(cells.size(), 0);
  std::vector<int> longest(cells.size(), -1);
  for (std::size_t c = 0; c < cuts.size(); ++c) {
    if (cuts[c].arm_on_top || cuts[c].opposite >= 0) continue;
    const Point n = towards_arm(cuts[c]), middle = geometry::mix(cuts[c].a, cuts[c].b, 0.5);
    const double mm = geometry::distance(cuts[c].a, cuts[c].b);
    for (const double side : {-0.01, 0.01}) {
      const int at = cell_at(cells, middle + n * side);
      if (at >= 0 && mm > chord[at]) chord[at] = mm, longest[at] = static_cast<int>(c);
    }
  }
  for (std::size_t i = 0; i < cells.size(); ++i) {
    const double area = geometry::area(cells[i].area);
    if (longest[i] >= 0 && (area < kLeastCellMm2 || area < kLeastCellMm * chord[i]))
      return longest[i];
  }
  return -1;
}

// Takes a cut back; others that name their opposites by index are told.
void take_back(std::vector<Cut>& cuts, int gone) {
  cuts.erase(cuts.begin() + gone);
  for (Cut& cut : cuts) {
    if (cut.opposite > gone) --cut.opposite;
  }
}

// What waits for the cell that is gone waits for the one kept, tucked only if both were.
void rename_before(Cell& cell, int gone, int kept) {
  for (const int one : {gone, kept}) {
    if (!has(cell.after, one) || has(cell.tucked, one)) continue;
    std::erase_if(cell.tucked, [&](int before) { return before == gone || before == kept; });
  }
  for (std::vector<int>* list : {&cell.after, &cell.tucked}) {
    for (int& before : *list) before = before == gone ? kept : before;
    for (int& before : *list) before -= before > gone;
    std::sort(list->begin(), list->end());
    list->erase(std::unique(list->begin(), list->end()), list->end());
  }
}

// Makes one cell of two that overlap in the band between them.
void join_cells(const std::vector<Cut>& cuts, std::vector<Cell>& cells) {
  for (std::size_t c = 0; c < cuts.size(); ++c) {
    if (cuts[c].opposite < static_cast<int>(c)) continue;
    const Cut& across = cuts[static_cast<std::size_t>(cuts[c].opposite)];
    const auto arm_of = [&](const Cut& cut) {
      return cell_at(cells, geometry::mix(cut.a, cut.b, 0.5) + towards_arm(cut) * 0.01);
    };
    const int kept = arm_of(cuts[c]), gone = arm_of(across);
    if (kept < 0 || gone < 0 || kept == gone) continue;
    extend(cells[kept], {cells[gone].area});
    for (const int before : cells[gone].after) {
      put_after(cells, kept, before, has(cells[gone].tucked, before));
    }
    cells.erase(cells.begin() + gone);
    for (Cell& cell : cells) rename_before(cell, gone, kept);
  }
}

}  // namespace

std::vector<Cell> split(const Polygon& polygon, const Recipe& recipe, const Polygons& drawn) {
  Cuts found = find_cuts(polygon, recipe, drawn);
  std::vector<Cell> cells = cells_between(found.cuts, polygon, found.widest_mm);
  // A lattice of hundreds of strips keeps its small cells: each cut taken back costs a boolean.
  const bool is_lattice = found.cuts.size() > kMostCutsWeighed;
  for (int c = is_lattice ? -1 : needless_cut(found.cuts, cells); c >= 0;
       c = needless_cut(found.cuts, cells)) {
    take_back(found.cuts, c);
    cells = cells_between(found.cuts, polygon, found.widest_mm);
  }
  if (found.cuts.empty())
    return {{polygon, !found.trusted || !found.wide.empty(), found.widest_mm, {}}};
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
  join_cells(found.cuts, cells);
  return cells;
}

}  // namespace buckram::digitise
