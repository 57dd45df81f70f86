#include "sequence/inward.h"

#include <algorithm>
#include <cmath>

namespace buckram::sequence {
namespace {

using geometry::Point;

constexpr int kMostPlaces = 64;       // an object
constexpr double kCentreMm = 2;       // nearer to the centre line, both sides are outwards
constexpr double kLineStepMm = 0.4;   // along a line outwards
constexpr double kGroundTimes = 6;    // a fill so much larger than a detail is its ground
constexpr double kBorderShare = 0.5;  // of its box: what covers less and is large is a border
constexpr double kBorderMm = 12;
constexpr double kHigherMm = 10;
constexpr double kGroundCost = 4, kBorderCost = 4, kHigherCost = 0.2;  // mm, as flank costs
constexpr double kLeastCost = 1e-3;  // mm; below it the order does not matter

std::size_t at(int i) {
  return static_cast<std::size_t>(i);
}

// Cells spread evenly over each object's cloth.
std::vector<std::vector<Point>> places_of(const CoverGrid& grid, int n_objects) {
  std::vector<int> n_cells(at(n_objects), 0), n_seen(at(n_objects), 0);
  for (int c = 0; c < grid.n_cells(); ++c) {
    for (const int o : grid.objects_at(c)) ++n_cells[at(o)];
  }
  std::vector<std::vector<Point>> places(at(n_objects));
  for (int c = 0; c < grid.n_cells(); ++c) {
    for (const int o : grid.objects_at(c)) {
      const int stride = (n_cells[at(o)] + kMostPlaces - 1) / kMostPlaces;
      if (n_seen[at(o)]++ % stride == stride / 2) places[at(o)].push_back(grid.middle(c));
    }
  }
  return places;
}

std::vector<Point> outwards(Point p) {
  constexpr double kHalf = 0.70710678118654752;
  const double side = p.x < 0 ? -1 : 1;
  std::vector<Point> lines{{0, 1}, {side, 0}, {side * kHalf, kHalf}};
  if (std::abs(p.x) < kCentreMm) lines.insert(lines.end(), {{-side, 0}, {-side * kHalf, kHalf}});
  return lines;
}

// Raises `cost` (by object) to what the line from p meets, each object where it is met first.
void add_line(const CoverGrid& grid, Point p, Point along, std::vector<int>& met, int stamp,
              std::vector<double>& cost) {
  for (double mm = kLineStepMm; mm < kFlankMm; mm += kLineStepMm) {
    const int c = grid.cell(p + along * mm);
    if (c < 0) return;
    for (const int o : grid.objects_at(c)) {
      if (met[at(o)] == stamp) continue;
      met[at(o)] = stamp;
      cost[at(o)] = std::max(cost[at(o)], kFlankMm - mm);
    }
  }
}

bool holds(const geometry::Box& box, Point p) {
  return p.x > box.x0 && p.x < box.x1 && p.y > box.y0 && p.y < box.y1;
}

}  // namespace

std::vector<std::vector<double>> flank_costs(const CoverGrid& grid, int n_objects) {
  const auto places = places_of(grid, n_objects);
  std::vector<std::vector<double>> costs;
  std::vector<int> met(at(n_objects), 0);
  std::vector<double> here(at(n_objects), 0);
  int stamp = 0;
  for (int next = 0; next < n_objects; ++next) {
    std::vector<double> cost(at(n_objects), 0);
    for (const Point& p : places[at(next)]) {
      std::fill(here.begin(), here.end(), 0);
      for (const Point& along : outwards(p)) add_line(grid, p, along, met, ++stamp, here);
      for (std::size_t o = 0; o < cost.size(); ++o) {
        cost[o] += here[o] / static_cast<double>(places[at(next)].size());
      }
    }
    cost[at(next)] = 0;
    costs.push_back(std::move(cost));
  }
  return costs;
}

std::vector<std::vector<double>> habit_costs(const std::vector<digitise::Object>& objects) {
  std::vector<geometry::Box> boxes;
  std::vector<double> areas;
  std::vector<bool> is_border;
  for (const digitise::Object& object : objects) {
    boxes.push_back(geometry::bounds(object.outline));
    areas.push_back(geometry::area(object.outline));
    const double box = boxes.back().width() * boxes.back().height();
    is_border.push_back(areas.back() < kBorderShare * box && boxes.back().width() > kBorderMm &&
                        boxes.back().height() > kBorderMm);
  }
  std::vector<std::vector<double>> costs(objects.size(), std::vector<double>(objects.size(), 0));
  for (std::size_t next = 0; next < objects.size(); ++next) {
    for (std::size_t sewn = 0; sewn < objects.size(); ++sewn) {
      if (next == sewn) continue;
      const bool is_ground = digitise::kind(objects[next]) == stitch::Kind::fill &&
                             areas[next] > kGroundTimes * areas[sewn];
      if (is_ground && boxes[next].meets(boxes[sewn], kFlankMm)) costs[next][sewn] += kGroundCost;
      const bool encloses =
          is_border[sewn] && !is_border[next] && holds(boxes[sewn], boxes[next].middle());
      if (encloses) costs[next][sewn] += kBorderCost;
      if (boxes[sewn].y0 > boxes[next].y1 + kHigherMm) costs[next][sewn] += kHigherCost;
    }
  }
  return costs;
}

Inward::Inward(const std::vector<digitise::Object>& objects, const CoverGrid& grid,
               const InwardCost& asked)
    : Inward(static_cast<int>(objects.size())) {
  const int n = static_cast<int>(objects.size());
  std::vector<std::vector<double>> cost(at(n), std::vector<double>(at(n), 0));
  if (!asked) {
    cost = flank_costs(grid, n);
    const auto habits = habit_costs(objects);
    for (int a = 0; a < n; ++a) {
      for (int b = 0; b < n; ++b) cost[at(a)][at(b)] += habits[at(a)][at(b)];
    }
  }
  for (int a = 0; asked && a < n; ++a) {
    for (int b = 0; b < n; ++b) {
      if (a != b) cost[at(a)][at(b)] = asked(b, a);
    }
  }
  for (int a = 0; a < n; ++a) {
    for (int b = 0; b < n; ++b) {
      if (std::max(cost[at(a)][at(b)], cost[at(b)][at(a)]) < kLeastCost) continue;
      pairs_[at(a)].push_back({b, cost[at(a)][at(b)], cost[at(b)][at(a)]});
    }
  }
  const auto places = places_of(grid, n);
  for (int a = 0; a < n; ++a) {
    for (const Point& p : places[at(a)]) {
      stray_mm_[at(a)] += (std::abs(p.x) + p.y) / double(places[at(a)].size());
    }
    if (places[at(a)].empty()) {
      const Point p = geometry::bounds(objects[at(a)].outline).middle();
      stray_mm_[at(a)] = std::abs(p.x) + p.y;
    }
  }
}

double Inward::cost(int object, const ObjectSet& sewn) const {
  double sum = 0;
  for (const Pair& pair : pairs(object)) {
    if (sewn.has(pair.other)) sum += pair.if_before;
  }
  return sum;
}

}  // namespace buckram::sequence
