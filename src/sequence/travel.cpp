#include "sequence/travel.h"

#include <algorithm>
#include <cmath>
#include <queue>

namespace buckram::sequence {
namespace {

struct Step8 {
  int i, j;
};
constexpr Step8 kSteps[] = {{1, 0}, {-1, 0}, {0, 1}, {0, -1}, {1, 1}, {1, -1}, {-1, 1}, {-1, -1}};

constexpr double kPlaceMm = 0.2;  // between places where a travel may go down

}  // namespace

TravelFinder::TravelFinder(const CoverGrid& grid, int n_objects, TravelOptions options)
    : grid_(grid),
      options_(options),
      step_of_(static_cast<std::size_t>(n_objects), kLater),
      height_(static_cast<std::size_t>(grid.n_cells()), -1),
      deep_(height_),
      reached_(height_.size()) {
  grid.raise(step_of_, grid.box(), height_, deep_);
}

void TravelFinder::stand(const std::vector<int>& members, int first,
                         const std::vector<geometry::Box>& boxes) {
  geometry::Box box;
  for (std::size_t i = 0; i < members.size(); ++i) {
    step_of_[static_cast<std::size_t>(members[i])] = first + static_cast<int>(i);
    box.add(boxes[static_cast<std::size_t>(members[i])]);
  }
  if (!box.empty()) grid_.raise(step_of_, box, height_, deep_);
}

bool TravelFinder::deep(geometry::Point p, int step) const {
  const int c = grid_.cell(p);
  return c >= 0 && deep_[static_cast<std::size_t>(c)] >= step;
}

bool TravelFinder::covered(geometry::Point p, int step) const {
  const int c = grid_.cell(p);
  return c >= 0 && height_[static_cast<std::size_t>(c)] >= step;
}

bool TravelFinder::is_end_covered(geometry::Point p, const Trip& trip) const {
  const double from_a = geometry::distance(p, trip.a);
  if (from_a <= grid_.pitch_mm()) return true;  // a lies on what is sewn
  const int c = grid_.cell(p);
  if (c < 0) return false;
  const bool is_near_a = from_a <= options_.open_end_mm;
  if (is_near_a || geometry::distance(p, trip.b) <= options_.open_end_mm) {
    if (height_[static_cast<std::size_t>(c)] >= trip.step) return true;
  }
  const auto over = grid_.objects_at(c);
  return is_near_a && std::find(over.begin(), over.end(), trip.from) != over.end();
}

bool TravelFinder::clear(geometry::Point p, geometry::Point q, const Trip& trip) const {
  const double length = geometry::distance(p, q);
  const int n = std::max(2, static_cast<int>(std::ceil(length / (grid_.pitch_mm() / 2))));
  double edge_mm = 0;  // along the very edge of the cover, as where it is cut at a corner
  for (int k = 0; k <= n; ++k) {
    const geometry::Point at = geometry::mix(p, q, static_cast<double>(k) / n);
    const bool is_deep = deep(at, trip.step) || is_end_covered(at, trip);
    edge_mm = is_deep ? 0 : edge_mm + length / n;
    if (edge_mm > options_.edge_mm) return false;
    if (!is_deep && !covered(at, trip.step)) return false;
  }
  return true;
}

// Deep cells near an end of the way, from which it is in sight.
std::vector<int> TravelFinder::ends(geometry::Point p, const Trip& trip) const {
  const double reach_mm = options_.open_end_mm + options_.edge_mm;
  const int reach = static_cast<int>(std::ceil(reach_mm / grid_.pitch_mm()));
  std::vector<int> found;
  for (int j = -reach; j <= reach; ++j) {
    for (int i = -reach; i <= reach; ++i) {
      const int c = grid_.cell({p.x + i * grid_.pitch_mm(), p.y + j * grid_.pitch_mm()});
      if (c < 0 || deep_[static_cast<std::size_t>(c)] < trip.step) continue;
      const geometry::Point middle = grid_.middle(c);
      if (geometry::distance(middle, p) <= reach_mm && clear(p, middle, trip)) found.push_back(c);
    }
  }
  return found;
}

std::optional<geometry::Polyline> TravelFinder::over_cells(const Trip& trip) {
  const int step = trip.step;
  const std::vector<int> starts = ends(trip.a, trip), goals = ends(trip.b, trip);
  if (starts.empty() || goals.empty()) return std::nullopt;
  ++stamp_;
  for (const int c : goals) reached_[static_cast<std::size_t>(c)].goal = stamp_;
  const auto is_goal = [&](int c) { return reached_[static_cast<std::size_t>(c)].goal == stamp_; };
  struct Open {
    double estimate;
    int cell;
    bool operator<(const Open& o) const {
      return estimate > o.estimate || (estimate == o.estimate && cell > o.cell);
    }
  };
  std::priority_queue<Open> open;
  const auto reach = [&](int c, int from, double cost) {
    Reached& r = reached_[static_cast<std::size_t>(c)];
    if (r.stamp == stamp_ && r.cost <= cost) return;
    r = {stamp_, from, cost, false, r.goal};
    const double estimate = cost + geometry::distance(grid_.middle(c), trip.b);
    if (estimate <= options_.longest_mm) open.push({estimate, c});
  };
  for (const int c : starts) reach(c, -1, geometry::distance(trip.a, grid_.middle(c)));
  while (!open.empty() && !is_goal(open.top().cell)) {
    const int c = open.top().cell;
    open.pop();
    Reached& r = reached_[static_cast<std::size_t>(c)];
    if (r.closed) continue;
    r.closed = true;
    const double cost = r.cost;
    for (const Step8& s : kSteps) {
      const int next = c + s.j * grid_.columns() + s.i;  // deep cells never lie on the grid's rim
      if (deep_[static_cast<std::size_t>(next)] < step) continue;
      reach(next, c, cost + std::hypot(s.i, s.j) * grid_.pitch_mm());
    }
  }
  if (open.empty()) return std::nullopt;
  geometry::Polyline way{trip.b};
  for (int c = open.top().cell; c >= 0; c = reached_[static_cast<std::size_t>(c)].from)
    way.push_back(grid_.middle(c));
  way.push_back(trip.a);
  std::reverse(way.begin(), way.end());
  return way;
}

geometry::Polyline TravelFinder::pulled_tight(const geometry::Polyline& way,
                                              const Trip& trip) const {
  geometry::Polyline tight{way.front()};
  std::size_t at = 0;
  while (at + 1 < way.size()) {
    std::size_t next = at + 1;
    // Doubling steps, then back: the farthest place in sight, found without trying them all.
    for (std::size_t jump = 2; at + jump < way.size(); jump *= 2) {
      if (!clear(way[at], way[at + jump], trip)) break;
      next = at + jump;
    }
    for (std::size_t jump = std::max<std::size_t>(1, (next - at) / 2); jump > 0; jump /= 2) {
      while (next + jump < way.size() && clear(way[at], way[next + jump], trip)) next += jump;
    }
    tight.push_back(way[next]);
    at = next;
  }
  return tight;
}

// Penetrations among places close together along the way, by dynamic programme: each stitch
// straight and covered, near to the nominal length.
std::optional<geometry::Polyline> TravelFinder::stitched(const geometry::Polyline& way,
                                                         const Trip& trip) const {
  const geometry::ArcLength line(way);
  const double length = line.length();
  if (length > options_.longest_mm) return std::nullopt;
  const double ends_mm = geometry::distance(trip.a, trip.b);
  if (ends_mm <= options_.stitch_mm * 1.35 && clear(trip.a, trip.b, trip))
    return geometry::Polyline{};
  const int n = std::max(1, static_cast<int>(std::ceil(length / kPlaceMm)));
  struct Place {
    geometry::Point at;
    double cost = 1e300;
    int from = -1;
  };
  std::vector<Place> places;
  for (int k = 0; k <= n; ++k) places.push_back({line.at(length * k / n), 1e300, -1});
  places.front() = {trip.a, 0, -1};
  places.back().at = trip.b;
  const int reach = static_cast<int>(2 * options_.stitch_mm / (length / n));
  for (int k = 1; k <= n; ++k) {
    Place& place = places[static_cast<std::size_t>(k)];
    for (int j = std::max(0, k - reach); j < k; ++j) {
      const Place& before = places[static_cast<std::size_t>(j)];
      const double mm = geometry::distance(before.at, place.at);
      if (before.cost > 1e299 || mm < options_.shortest_mm || mm > 2 * options_.stitch_mm) continue;
      const double off = mm / options_.stitch_mm - 1;
      const double cost = before.cost + 1 + off * off;
      if (cost < place.cost && clear(before.at, place.at, trip)) place.cost = cost, place.from = j;
    }
  }
  if (places.back().from < 0) return std::nullopt;
  geometry::Polyline points;
  for (int k = places.back().from; k > 0; k = places[static_cast<std::size_t>(k)].from) {
    points.push_back(places[static_cast<std::size_t>(k)].at);
  }
  std::reverse(points.begin(), points.end());
  return points;
}

std::optional<geometry::Polyline> TravelFinder::way(geometry::Point a, geometry::Point b, int step,
                                                    int from) {
  const Trip trip{a, b, step, from};
  if (geometry::distance(a, b) > options_.longest_mm) return std::nullopt;
  if (clear(a, b, trip)) return stitched({a, b}, trip);
  const auto cells = over_cells(trip);
  if (!cells) return std::nullopt;
  if (auto tight = stitched(pulled_tight(*cells, trip), trip)) return tight;
  return stitched(*cells, trip);
}

}  // namespace buckram::sequence
