#include "stitch/crowds.h"

#include "stitch/builder.h"

#include "base/base.h"

#include <algorithm>
#include <cmath>
#include <set>

namespace buckram::stitch {
namespace {

using geometry::Point;

constexpr double kDiscMm = 1.0;
constexpr double kFarthestMm = 0.6;
constexpr double kApartMm = 0.25;

// The most points in a closed disc of the given diameter that has `p` on its rim, p included:
// angular sweep over the discs through p (B. Chazelle, D. T. Lee, Computing 36, 1986, 1-16). Some
// fullest disc has a point on its rim, so the largest over all points is the exact answer.
int fullest_disc_through(geometry::Point p, const std::vector<geometry::Point>& near,
                         double diameter) {
  struct Turn {
    double angle;
    int step;  // +1 a point comes into the disc, -1 it leaves
  };
  std::vector<Turn> turns;
  int count = 0;
  const double radius = diameter / 2;
  for (const geometry::Point& q : near) {
    const double d = geometry::distance(p, q);
    if (d < 1e-9) {
      ++count;  // p itself and what lies on it is in every disc
      continue;
    }
    const double middle = std::atan2(q.y - p.y, q.x - p.x);
    const double half = std::acos(std::min(1.0, d / 2 / radius));
    double from = middle - half, to = middle + half;
    if (from < -base::kPi) from += 2 * base::kPi;
    if (to > base::kPi) to -= 2 * base::kPi;
    if (from > to) ++count;  // in the disc at the sweep's start
    turns.push_back({from, +1});
    turns.push_back({to, -1});
  }
  std::sort(turns.begin(), turns.end(), [](const Turn& a, const Turn& b) {
    return a.angle < b.angle || (a.angle == b.angle && a.step > b.step);
  });
  int most = count;
  for (const Turn& turn : turns) most = std::max(most, count += turn.step);
  return most;
}

// The holes of the top layer.
struct Holes {
  std::vector<Point> points;
  std::vector<int> entries;
  std::vector<int> block_of;  // of every entry of the plan
};

Holes top_holes(const Plan& plan) {
  Holes holes;
  holes.block_of = block_of_entries(plan);
  for (int i = 0; i < plan.size(); ++i) {
    const auto k = static_cast<std::size_t>(i);
    if (plan.op[k] != Op::sew) continue;
    if (plan.blocks[static_cast<std::size_t>(holes.block_of[k])].layer != Layer::top) continue;
    holes.points.push_back(plan.at(i));
    holes.entries.push_back(i);
  }
  return holes;
}

geometry::PointGrid grid_of(const std::vector<Point>& points, double cell_mm) {
  geometry::PointGrid grid(cell_mm);
  for (std::size_t k = 0; k < points.size(); ++k) grid.add(points[k], static_cast<int>(k));
  return grid;
}

std::vector<Crowd> crowds_of(const Holes& holes, int most_in_disc, std::size_t at_most) {
  std::vector<Crowd> found;
  const geometry::PointGrid grid = grid_of(holes.points, kDiscMm);
  std::vector<Point> near;
  for (std::size_t k = 0; k < holes.points.size() && found.size() < at_most; ++k) {
    near.clear();
    grid.near(holes.points[k], kDiscMm, [&](int, Point q) { near.push_back(q); });
    if (static_cast<int>(near.size()) <= most_in_disc) continue;
    const int most = fullest_disc_through(holes.points[k], near, kDiscMm);
    if (most > most_in_disc) found.push_back({holes.entries[k], most});
  }
  return found;
}

class Easing {
 public:
  Easing(Plan& plan, const Limits& limits)
      : plan_(plan),
        limits_(limits),
        holes_(top_holes(plan)),
        first_places_(grid_of(holes_.points, kDiscMm)) {}

  void run() {
    constexpr std::size_t kMostMoves = 200, kMostCrowds = 100;
    while (moved_.size() < kMostMoves) {
      const auto found = crowds_of(holes_, limits_.most_in_disc, kMostCrowds);
      if (std::none_of(found.begin(), found.end(), [&](const Crowd& c) { return ease(c); })) return;
    }
  }

 private:
  // Holes of the top layer within the distance, by index into holes_, in their order.
  std::vector<std::size_t> near(Point p, double mm) const {
    std::vector<std::size_t> all;
    first_places_.near(p, mm + kFarthestMm + 0.001, [&](int id, Point) {
      const auto k = static_cast<std::size_t>(id);
      if (geometry::distance(holes_.points[k], p) <= mm) all.push_back(k);
    });
    std::sort(all.begin(), all.end());
    return all;
  }

  int fullest_through(Point p) const {
    std::vector<Point> points;
    for (const std::size_t k : near(p, kDiscMm)) points.push_back(holes_.points[k]);
    return fullest_disc_through(p, points, kDiscMm);
  }

  // One hole drawn back so that the disc holds one less; false when none may be.
  bool ease(const Crowd& crowd) {
    const Point middle = plan_.at(crowd.entry);
    for (const std::size_t k : near(middle, kDiscMm)) {
      const int i = holes_.entries[k];
      if (!may_move(i)) continue;
      const Point from = holes_.points[k];
      for (const Point to : further_back(i)) {
        if (!is_apart(k, to)) continue;
        put(k, to);
        const bool is_itself = i == crowd.entry;
        if ((is_itself || fullest_through(middle) < crowd.most) &&
            fullest_through(to) <= limits_.most_in_disc) {
          moved_.insert(i);
          return true;
        }
        put(k, from);
      }
    }
    return false;
  }

  // Within its block, sewn on both sides, once, and not beside one that moved on its side.
  bool may_move(int i) const {
    const Block& block =
        plan_.blocks[static_cast<std::size_t>(holes_.block_of[static_cast<std::size_t>(i)])];
    const bool is_inside = i > block.first && i + 1 < block.first + block.count;
    return is_inside && has_thread(plan_, i) && has_thread(plan_, i + 1) && !moved_.contains(i) &&
           !moved_.contains(i - 2) && !moved_.contains(i + 2);
  }

  // Places further back: towards the middle of the holes before and after where the thread turns
  // back sharply, else along the thread to either of them. The least that may help comes first.
  std::vector<Point> further_back(int i) const {
    const Point p = plan_.at(i), a = plan_.at(i - 1), b = plan_.at(i + 1);
    const bool turns =
        geometry::dot(a - p, b - p) > 0.5 * geometry::norm(a - p) * geometry::norm(b - p);
    std::vector<Point> goals{a, b};
    if (turns) goals.insert(goals.begin(), mix(a, b, 0.5));
    std::vector<Point> places;
    for (const double by : {0.3, 0.45, kFarthestMm}) {
      for (const Point goal : goals) {
        const double room = geometry::distance(p, goal);
        if (room <= by) continue;
        const Point to = p + (goal - p) * (by / room);
        if (may_reach(to, a, p) && may_reach(to, b, p)) places.push_back(to);
      }
    }
    return places;
  }

  // No longer than allowed, no shorter than the shortest or, where it was that already, than
  // before.
  bool may_reach(Point to, Point other, Point before) const {
    const double mm = geometry::distance(to, other);
    return mm <= limits_.longest_mm &&
           mm >= std::min(limits_.shortest_mm, geometry::distance(before, other));
  }

  bool is_apart(std::size_t k, Point to) const {
    const int object = object_of(holes_.entries[k]);
    const auto close = near(to, kApartMm);
    return std::none_of(close.begin(), close.end(), [&](std::size_t other) {
      return other != k && object_of(holes_.entries[other]) == object;
    });
  }

  int object_of(int entry) const {
    const auto block = static_cast<std::size_t>(holes_.block_of[static_cast<std::size_t>(entry)]);
    return plan_.blocks[block].object;
  }

  void put(std::size_t k, Point to) {
    const auto i = static_cast<std::size_t>(holes_.entries[k]);
    plan_.x[i] = rounded(to).x;
    plan_.y[i] = rounded(to).y;
    holes_.points[k] = plan_.at(holes_.entries[k]);
  }

  Plan& plan_;
  const Limits& limits_;
  Holes holes_;
  geometry::PointGrid first_places_;  // before any moved, by index into holes_
  std::set<int> moved_;
};

}  // namespace

std::vector<Crowd> crowds(const Plan& plan, int most_in_disc, std::size_t at_most) {
  return crowds_of(top_holes(plan), most_in_disc, at_most);
}

void ease_crowds(Plan& plan, const Limits& limits) {
  Easing(plan, limits).run();
}

}  // namespace buckram::stitch
