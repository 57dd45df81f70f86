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

}  // namespace

TravelFinder::TravelFinder(const CoverGrid& grid, const std::vector<int>& step_of,
                           TravelOptions options)
    : grid_(grid),
      options_(options),
      height_(grid.heights(step_of)),
      deep_(grid.eroded(height_)),
      reached_(static_cast<std::size_t>(grid.n_cells())) {}

bool TravelFinder::deep(geometry::Point p, int step) const {
  const int c = grid_.cell(p);
  return c >= 0 && deep_[static_cast<std::size_t>(c)] >= step;
}

bool TravelFinder::covered(geometry::Point p, int step) const {
  const int c = grid_.cell(p);
  return c >= 0 && height_[static_cast<std::size_t>(c)] >= step;
}

bool TravelFinder::clear(geometry::Point p, geometry::Point q, geometry::Point a_end,
                         geometry::Point b_end, int step) const {
  const double length = geometry::distance(p, q);
  const int n = std::max(2, static_cast<int>(std::ceil(length / (grid_.pitch_mm() / 2))));
  for (int k = 0; k <= n; ++k) {
    const geometry::Point at = geometry::mix(p, q, static_cast<double>(k) / n);
    if (deep(at, step)) continue;
    const double to_end = std::min(geometry::distance(at, a_end), geometry::distance(at, b_end));
    const bool leaves =
        geometry::distance(at, a_end) <= grid_.pitch_mm();  // a lies on what is sewn
    const bool is_end = to_end <= options_.open_end_mm && covered(at, step);
    if (!is_end && !leaves) return false;
  }
  return true;
}

int TravelFinder::nearest_deep(geometry::Point p, int step) const {
  const double reach_mm = options_.open_end_mm + grid_.pitch_mm();
  const int reach = static_cast<int>(std::ceil(reach_mm / grid_.pitch_mm()));
  int best = -1;
  double best_mm = reach_mm;
  for (int j = -reach; j <= reach; ++j) {
    for (int i = -reach; i <= reach; ++i) {
      const int c = grid_.cell({p.x + i * grid_.pitch_mm(), p.y + j * grid_.pitch_mm()});
      if (c < 0 || deep_[static_cast<std::size_t>(c)] < step) continue;
      const double mm = geometry::distance(grid_.middle(c), p);
      if (mm < best_mm) best = c, best_mm = mm;
    }
  }
  return best;
}

std::optional<geometry::Polyline> TravelFinder::over_cells(geometry::Point a, geometry::Point b,
                                                           int step) {
  const int start = nearest_deep(a, step), goal = nearest_deep(b, step);
  if (start < 0 || goal < 0) return std::nullopt;
  ++stamp_;
  struct Open {
    double estimate;
    int cell;
    bool operator<(const Open& o) const {
      return estimate > o.estimate || (estimate == o.estimate && cell > o.cell);
    }
  };
  const geometry::Point target = grid_.middle(goal);
  std::priority_queue<Open> open;
  const auto reach = [&](int c, int from, double cost) {
    Reached& r = reached_[static_cast<std::size_t>(c)];
    if (r.stamp == stamp_ && r.cost <= cost) return;
    r = {stamp_, from, cost, false};
    const double estimate = cost + geometry::distance(grid_.middle(c), target);
    if (estimate <= options_.longest_mm) open.push({estimate, c});
  };
  reach(start, -1, 0);
  while (!open.empty() && open.top().cell != goal) {
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
  geometry::Polyline way{b};
  for (int c = goal; c >= 0; c = reached_[static_cast<std::size_t>(c)].from)
    way.push_back(grid_.middle(c));
  way.push_back(a);
  std::reverse(way.begin(), way.end());
  return way;
}

geometry::Polyline TravelFinder::pulled_tight(const geometry::Polyline& way, int step) const {
  geometry::Polyline tight{way.front()};
  std::size_t at = 0;
  while (at + 1 < way.size()) {
    std::size_t next = at + 1;
    // Doubling steps, then back: the farthest place in sight, found without trying them all.
    for (std::size_t jump = 2; at + jump < way.size(); jump *= 2) {
      if (!clear(way[at], way[at + jump], way.front(), way.back(), step)) break;
      next = at + jump;
    }
    for (std::size_t jump = std::max<std::size_t>(1, (next - at) / 2); jump > 0; jump /= 2) {
      while (next + jump < way.size() &&
             clear(way[at], way[next + jump], way.front(), way.back(), step)) {
        next += jump;
      }
    }
    tight.push_back(way[next]);
    at = next;
  }
  return tight;
}

std::optional<geometry::Polyline> TravelFinder::stitched(const geometry::Polyline& way,
                                                         int step) const {
  const geometry::ArcLength line(way);
  const double length = line.length();
  if (length > options_.longest_mm) return std::nullopt;
  geometry::Polyline points;
  double s = 0;
  geometry::Point here = way.front();
  while (length - s > options_.stitch_mm * 1.35) {
    // As far along as a straight stitch stays covered; what is left for the last must not be short.
    double step_mm = std::min(options_.stitch_mm, length - s - options_.shortest_mm);
    geometry::Point next = line.at(s + step_mm);
    const auto fits = [&] {
      return geometry::distance(here, next) >= options_.shortest_mm &&
             clear(here, next, way.front(), way.back(), step);
    };
    while (!fits() && step_mm > options_.shortest_mm) {
      step_mm = std::max(options_.shortest_mm, step_mm - 0.2);
      next = line.at(s + step_mm);
    }
    if (!fits()) return std::nullopt;
    points.push_back(next);
    here = next;
    s += step_mm;
  }
  if (!clear(here, way.back(), way.front(), way.back(), step)) {
    // The last bit turns a corner: one more penetration at it, if both sides are long enough.
    const geometry::Point corner = line.at((s + length) / 2);
    const bool fits = geometry::distance(here, corner) >= options_.shortest_mm &&
                      geometry::distance(corner, way.back()) >= options_.shortest_mm &&
                      clear(here, corner, way.front(), way.back(), step) &&
                      clear(corner, way.back(), way.front(), way.back(), step);
    if (!fits) return std::nullopt;
    points.push_back(corner);
  }
  return points;
}

std::optional<geometry::Polyline> TravelFinder::way(geometry::Point a, geometry::Point b,
                                                    int step) {
  if (geometry::distance(a, b) > options_.longest_mm) return std::nullopt;
  if (clear(a, b, a, b, step)) return stitched({a, b}, step);
  const auto cells = over_cells(a, b, step);
  if (!cells) return std::nullopt;
  return stitched(pulled_tight(*cells, step), step);
}

}  // namespace buckram::sequence
