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
constexpr int kMostAllHigher = 400;  // objects of which every pair is held against each other
constexpr int kHigherTaken = 24, kHigherWindow = 200;

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

// What the places of one object cost, while they are gone through.
struct Flank {
  std::vector<double> sum, here;  // by object: over all places, and of the place in hand
  std::vector<int> stamp;         // by object: the line that met it last
  std::vector<int> met, met_here;
  int line = 0;
};

// Notes what the line from p meets, each object where it is met first.
void add_line(const CoverGrid& grid, Point p, Point along, Flank& flank) {
  ++flank.line;
  for (double mm = kLineStepMm; mm < kFlankMm; mm += kLineStepMm) {
    const int c = grid.cell(p + along * mm);
    if (c < 0) return;
    for (const int o : grid.objects_at(c)) {
      if (flank.stamp[at(o)] == flank.line) continue;
      flank.stamp[at(o)] = flank.line;
      if (flank.here[at(o)] == 0) flank.met_here.push_back(o);
      flank.here[at(o)] = std::max(flank.here[at(o)], kFlankMm - mm);
    }
  }
}

void add_place(const CoverGrid& grid, Point p, double share, Flank& flank) {
  flank.met_here.clear();
  for (const Point& along : outwards(p)) add_line(grid, p, along, flank);
  for (const int o : flank.met_here) {
    if (flank.sum[at(o)] == 0) flank.met.push_back(o);
    flank.sum[at(o)] += flank.here[at(o)] * share;
    flank.here[at(o)] = 0;
  }
}

bool holds(const geometry::Box& box, Point p) {
  return p.x > box.x0 && p.x < box.x1 && p.y > box.y0 && p.y < box.y1;
}

// What is known of each object to tell grounds, borders and heights.
class Habits {
 public:
  explicit Habits(const std::vector<digitise::Object>& objects) {
    for (const digitise::Object& object : objects) {
      const geometry::Box box = geometry::bounds(object.outline);
      const double area = geometry::area(object.outline);
      by_height_.push_back(static_cast<int>(boxes_.size()));
      boxes_.push_back(box);
      areas_.push_back(area);
      is_fill_.push_back(digitise::kind(object) == stitch::Kind::fill);
      is_border_.push_back(area < kBorderShare * box.width() * box.height() &&
                           box.width() > kBorderMm && box.height() > kBorderMm);
    }
    std::stable_sort(by_height_.begin(), by_height_.end(),
                     [&](int a, int b) { return boxes_[at(a)].y0 < boxes_[at(b)].y0; });
  }

  std::vector<AfterCost> after(int next) const {
    std::vector<AfterCost> costs;
    for (int sewn = 0; sewn < static_cast<int>(boxes_.size()); ++sewn) {
      if (next == sewn) continue;
      const double mm = ground(next, sewn) + border(next, sewn);
      if (mm > 0) costs.push_back({sewn, mm});
    }
    for (const int sewn : higher(next)) costs.push_back({sewn, kHigherCost});
    return summed(std::move(costs));
  }

  // By object, one entry each.
  static std::vector<AfterCost> summed(std::vector<AfterCost> costs) {
    std::stable_sort(costs.begin(), costs.end(),
                     [](const AfterCost& a, const AfterCost& b) { return a.sewn < b.sewn; });
    std::vector<AfterCost> sum;
    for (const AfterCost& cost : costs) {
      if (sum.empty() || sum.back().sewn != cost.sewn) sum.push_back({cost.sewn, 0});
      sum.back().mm += cost.mm;
    }
    return sum;
  }

 private:
  double ground(int next, int sewn) const {
    const bool is_ground = is_fill_[at(next)] && areas_[at(next)] > kGroundTimes * areas_[at(sewn)];
    return is_ground && boxes_[at(next)].meets(boxes_[at(sewn)], kFlankMm) ? kGroundCost : 0;
  }

  double border(int next, int sewn) const {
    const bool encloses = is_border_[at(sewn)] && !is_border_[at(next)] &&
                          holds(boxes_[at(sewn)], boxes_[at(next)].middle());
    return encloses ? kBorderCost : 0;
  }

  // Objects wholly higher; of very many, those of the next rows up that lie nearest beside.
  std::vector<int> higher(int next) const {
    const double y = boxes_[at(next)].y1 + kHigherMm, x = boxes_[at(next)].middle().x;
    const auto first = std::partition_point(by_height_.begin(), by_height_.end(),
                                            [&](int o) { return boxes_[at(o)].y0 <= y; });
    if (boxes_.size() <= kMostAllHigher) return {first, by_height_.end()};
    const auto n_found = std::min<std::ptrdiff_t>(by_height_.end() - first, kHigherWindow);
    std::vector<int> found(first, first + n_found);
    const auto beside = [&](int o) { return std::abs(boxes_[at(o)].middle().x - x); };
    std::stable_sort(found.begin(), found.end(),
                     [&](int a, int b) { return beside(a) < beside(b); });
    found.resize(std::min<std::size_t>(found.size(), kHigherTaken));
    return found;
  }

  std::vector<geometry::Box> boxes_;
  std::vector<double> areas_;
  std::vector<bool> is_fill_, is_border_;
  std::vector<int> by_height_;
};

AfterCosts all_asked(const InwardCost& asked, int n) {
  AfterCosts costs(at(n));
  for (int next = 0; next < n; ++next) {
    for (int sewn = 0; sewn < n; ++sewn) {
      const double mm = next == sewn ? 0 : asked(sewn, next);
      if (mm != 0) costs[at(next)].push_back({sewn, mm});
    }
  }
  return costs;
}

}  // namespace

AfterCosts flank_costs(const CoverGrid& grid, int n_objects, const base::Watch& watch) {
  const auto places = places_of(grid, n_objects);
  Flank flank;
  flank.sum.assign(at(n_objects), 0), flank.here = flank.sum, flank.stamp.assign(at(n_objects), 0);
  AfterCosts costs(at(n_objects));
  for (int next = 0; next < n_objects; ++next) {
    if (next % 256 == 255) watch.at("ordering", 0.5);
    flank.met.clear();
    for (const Point& p : places[at(next)]) {
      add_place(grid, p, 1.0 / static_cast<double>(places[at(next)].size()), flank);
    }
    std::sort(flank.met.begin(), flank.met.end());
    for (const int sewn : flank.met) {
      if (sewn != next) costs[at(next)].push_back({sewn, flank.sum[at(sewn)]});
      flank.sum[at(sewn)] = 0;
    }
  }
  return costs;
}

AfterCosts habit_costs(const std::vector<digitise::Object>& objects) {
  const Habits habits(objects);
  AfterCosts costs;
  for (std::size_t next = 0; next < objects.size(); ++next) {
    costs.push_back(habits.after(static_cast<int>(next)));
  }
  return costs;
}

Inward::Inward(const std::vector<digitise::Object>& objects, const CoverGrid& grid,
               const InwardCost& asked, const base::Watch& watch)
    : Inward(static_cast<int>(objects.size())) {
  const int n = static_cast<int>(objects.size());
  if (asked) {
    add_pairs(all_asked(asked, n));
  } else {
    AfterCosts costs = flank_costs(grid, n, watch);
    const AfterCosts habits = habit_costs(objects);
    for (int a = 0; a < n; ++a) {
      costs[at(a)].insert(costs[at(a)].end(), habits[at(a)].begin(), habits[at(a)].end());
      costs[at(a)] = Habits::summed(std::move(costs[at(a)]));
    }
    add_pairs(costs);
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

// From one side of each pair to both, by the other's index.
void Inward::add_pairs(const AfterCosts& costs) {
  for (int a = 0; a < static_cast<int>(costs.size()); ++a) {
    for (const AfterCost& cost : costs[at(a)]) {
      pairs_[at(a)].push_back({cost.sewn, cost.mm, 0});
      pairs_[at(cost.sewn)].push_back({a, 0, cost.mm});
    }
  }
  for (auto& list : pairs_) {
    std::stable_sort(list.begin(), list.end(),
                     [](const Pair& x, const Pair& y) { return x.other < y.other; });
    std::vector<Pair> joined;
    for (const Pair& pair : list) {
      if (joined.empty() || joined.back().other != pair.other) joined.push_back({pair.other, 0, 0});
      joined.back().if_before += pair.if_before;
      joined.back().if_after += pair.if_after;
    }
    std::erase_if(joined,
                  [](const Pair& p) { return std::max(p.if_before, p.if_after) < kLeastCost; });
    list = std::move(joined);
  }
}

void Inward::settle(const std::vector<Arrow>& arrows, double mm) {
  const auto set = [&](int object, const Pair& pair) {
    auto& list = pairs_[at(object)];
    const auto place =
        std::lower_bound(list.begin(), list.end(), pair,
                         [](const Pair& x, const Pair& y) { return x.other < y.other; });
    if (place != list.end() && place->other == pair.other)
      *place = pair;
    else
      list.insert(place, pair);
  };
  for (const Arrow& arrow : arrows) {
    set(arrow.from, {arrow.to, mm, 0});
    set(arrow.to, {arrow.from, 0, mm});
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
