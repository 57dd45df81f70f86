#include "digitise/fill_travel.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <queue>
#include <utility>

namespace buckram::digitise {

using geometry::Point;
using geometry::Polyline;

namespace {

// Where a path may cross the height y.
struct Gate {
  double y = 0, lo = 0, hi = 0;
};

Gate narrowed(double y, double lo, double hi, double margin_mm) {
  const double m = std::min(margin_mm, 0.4 * std::max(0.0, hi - lo));
  return {y, lo + m, hi - m};
}

// Two gates, one on each row, where both spans lie; spans apart meet at their nearest ends.
void add_gates(const Rows& rows, int from, int to, double margin_mm, std::vector<Gate>& gates) {
  const RowSpan &a = rows.spans[from], &b = rows.spans[to];
  const double lo = std::max(a.x0, b.x0), hi = std::min(a.x1, b.x1);
  if (lo < hi) {
    gates.push_back(narrowed(rows.y(a.row), lo, hi, margin_mm));
    gates.push_back(narrowed(rows.y(b.row), lo, hi, margin_mm));
    return;
  }
  const double xa = a.x1 <= b.x0 ? a.x1 : a.x0, xb = a.x1 <= b.x0 ? b.x0 : b.x1;
  gates.push_back({rows.y(a.row), xa, xa});
  gates.push_back({rows.y(b.row), xb, xb});
}

// Neighbours on one row that share a stretch become one gate. Where they share none the path must
// run along the row, from the nearest end of one to that of the other.
std::vector<Gate> merged(const std::vector<Gate>& gates) {
  std::vector<Gate> out;
  for (const Gate& g : gates) {
    if (out.empty() || out.back().y != g.y) {
      out.push_back(g);
      continue;
    }
    Gate& last = out.back();
    const double lo = std::max(last.lo, g.lo), hi = std::min(last.hi, g.hi);
    if (lo <= hi) {
      last.lo = lo, last.hi = hi;
      continue;
    }
    const double x = g.lo > last.hi ? last.hi : last.lo;
    last.lo = last.hi = x;
    const double to = g.lo > x ? g.lo : g.hi;
    out.push_back({g.y, to, to});
  }
  return out;
}

// Slopes dx/dy under which everything seen so far is seen from the apex.
struct Cone {
  double lo = -1e300, hi = 1e300;
  std::size_t lo_at = 0, hi_at = 0;
};

// The taut string from the end of `path` through gates[from..to), all on one side of it and in
// order of height, to `end`.
void pull_taut(const std::vector<Gate>& gates, std::size_t from, std::size_t to, Point end,
               Polyline& path) {
  std::vector<Gate> all(gates.begin() + static_cast<std::ptrdiff_t>(from),
                        gates.begin() + static_cast<std::ptrdiff_t>(to));
  all.push_back({end.y, end.x, end.x});
  std::size_t i = 0;
  Cone cone;
  while (i < all.size()) {
    const Point apex = path.back();
    const double dy = std::abs(all[i].y - apex.y);
    if (dy <= 0) {  // the apex's own row: nothing to steer by
      ++i;
      continue;
    }
    const double lo = (all[i].lo - apex.x) / dy, hi = (all[i].hi - apex.x) / dy;
    if (lo > cone.hi || hi < cone.lo) {
      const bool right = lo > cone.hi;
      const std::size_t at = right ? cone.hi_at : cone.lo_at;
      path.push_back({right ? all[at].hi : all[at].lo, all[at].y});
      cone = {};
      i = at + 1;
      continue;
    }
    if (lo >= cone.lo) cone.lo = lo, cone.lo_at = i;
    if (hi <= cone.hi) cone.hi = hi, cone.hi_at = i;
    ++i;
  }
  path.push_back(end);
}

// How far a sequence of gates goes on in one direction.
std::size_t monotone_end(const std::vector<Gate>& gates, std::size_t from, double y0) {
  double y = y0;
  int way = 0;
  for (std::size_t i = from; i < gates.size(); ++i) {
    const int step = gates[i].y > y ? 1 : gates[i].y < y ? -1 : 0;
    if (way == 0) way = step;
    if (step != way || step == 0) return i;
    y = gates[i].y;
  }
  return gates.size();
}

// Dijkstra over section ends: state 2 s + top. Costs in mm, up and down plus along the rows, with
// the place along the row where the cheapest way to the state arrives.
struct EndSearch {
  const Rows& rows;
  const Sections& sections;
  const std::vector<char>& sewn;
  std::vector<double> cost, x;
  std::vector<int> before;
  std::priority_queue<std::pair<double, int>, std::vector<std::pair<double, int>>, std::greater<>>
      open;

  int height(int s) const { return static_cast<int>(sections.list[s].spans.size()); }
  bool may_cross(int s) const { return sewn.empty() || !sewn[s]; }
  int end_place(int state) const { return state % 2 == 1 ? height(state / 2) - 1 : 0; }
  const RowSpan& end_span(int state) const {
    return rows.spans[sections.list[state / 2].spans[end_place(state)]];
  }
  // Comes to the state's end from (cost, x) `n_rows` away, between lo and hi along the row.
  void relax(int state, double from_cost, double from_x, int n_rows, double lo, double hi,
             int via) {
    const double to = lo <= hi ? std::clamp(from_x, lo, hi) : (lo + hi) / 2;
    const double c = from_cost + n_rows * rows.spacing_mm + std::abs(to - from_x);
    if (c >= cost[state]) return;
    cost[state] = c, before[state] = via, x[state] = to;
    open.emplace(c, state);
  }
  void relax_end(int state, double from_cost, double from_x, int n_rows, int via) {
    const RowSpan& span = end_span(state);
    relax(state, from_cost, from_x, n_rows, span.x0, span.x1, via);
  }
  void follow(int state, const Join& join) {
    const int in = 2 * join.section + (join.other_top ? 1 : 0);
    const RowSpan &a = end_span(state), &b = end_span(in);
    relax(in, cost[state], x[state], 1, std::max(a.x0, b.x0), std::min(a.x1, b.x1), state);
    if (before[in] == state) relax_end(in ^ 1, cost[in], x[in], height(join.section), in);
  }
};

// The ends passed from span `from` to span `to`, or empty.
std::vector<int> ends_between(const Rows& rows, const Sections& sections, int from, int to,
                              const std::vector<char>& sewn) {
  const int a = sections.of_span[from], b = sections.of_span[to];
  const auto middle = [&](int span) { return (rows.spans[span].x0 + rows.spans[span].x1) / 2; };
  EndSearch search{rows, sections, sewn, {}, {}, {}, {}};
  search.cost.assign(2 * sections.list.size(), 1e300);
  search.x.assign(2 * sections.list.size(), 0);
  search.before.assign(2 * sections.list.size(), -1);
  const int down = sections.place_in[from], up = search.height(a) - 1 - down;
  if (search.may_cross(a) || down == 0) search.relax_end(2 * a, 0, middle(from), down, -1);
  if (search.may_cross(a) || up == 0) search.relax_end(2 * a + 1, 0, middle(from), up, -1);
  double best = 1e300;
  int best_state = -1;
  while (!search.open.empty()) {
    const auto [c, state] = search.open.top();
    search.open.pop();
    const int s = state / 2;
    if (c > search.cost[state] || c >= best) continue;
    if (s == b) {
      const int n_rows = std::abs(search.end_place(state) - sections.place_in[to]);
      const double total = c + n_rows * rows.spacing_mm + std::abs(middle(to) - search.x[state]);
      if (total < best) best = total, best_state = state;
      continue;
    }
    for (const Join& j : sections.list[s].joins)
      if (j.own_top == (state % 2 == 1) && search.may_cross(j.section)) search.follow(state, j);
  }
  std::vector<int> states;
  for (int s = best_state; s >= 0; s = search.before[s]) states.push_back(s);
  std::reverse(states.begin(), states.end());
  return states;
}

Polyline thinned(const Polyline& path) {
  Polyline out;
  for (Point p : path)
    if (out.empty() || geometry::distance(out.back(), p) > 1e-6) out.push_back(p);
  return out;
}

// Where the segment from a (within r of m) to b (outside) leaves that disc.
Point leaves_disc(Point m, double r, Point a, Point b) {
  const Point d = b - a, f = a - m;
  const double qa = geometry::dot(d, d), qb = geometry::dot(f, d), qc = geometry::dot(f, f) - r * r;
  const double t = (-qb + std::sqrt(std::max(0.0, qb * qb - qa * qc))) / qa;
  return a + d * std::clamp(t, 0.0, 1.0);
}

}  // namespace

std::vector<int> span_route(const Rows& rows, const Sections& sections, int from, int to,
                            const std::vector<char>& sewn) {
  const int a = sections.of_span[from], b = sections.of_span[to];
  std::vector<int> route;
  const auto walk = [&](int section, int first, int last) {
    const std::vector<int>& spans = sections.list[section].spans;
    const int step = last >= first ? 1 : -1;
    for (int i = first; i != last + step; i += step) route.push_back(spans[i]);
  };
  if (a == b) {
    walk(a, sections.place_in[from], sections.place_in[to]);
    return route;
  }
  std::vector<int> states = ends_between(rows, sections, from, to, sewn);
  if (states.empty() && !sewn.empty()) states = ends_between(rows, sections, from, to, {});
  if (states.empty()) return {from, to};  // not one area: straight across
  const auto end_place = [&](int state) {
    return state % 2 == 1 ? static_cast<int>(sections.list[state / 2].spans.size()) - 1 : 0;
  };
  walk(a, sections.place_in[from], end_place(states[0]));
  for (std::size_t i = 1; i < states.size(); ++i) {
    const int s = states[i] / 2, in = end_place(states[i]);
    const bool across = i + 1 < states.size() && states[i + 1] / 2 == s;
    if (s == b)
      walk(b, in, sections.place_in[to]);
    else
      walk(s, in, across ? end_place(states[i + 1]) : in);
    if (across) ++i;
  }
  return route;
}

Polyline taut_path(const Rows& rows, const std::vector<int>& spans, Point a, Point b,
                   double margin_mm) {
  std::vector<Gate> gates;
  for (std::size_t i = 0; i + 1 < spans.size(); ++i)
    add_gates(rows, spans[i], spans[i + 1], margin_mm, gates);
  gates = merged(gates);
  Polyline path{a};
  std::size_t at = 0;
  while (at < gates.size()) {
    const std::size_t end = monotone_end(gates, at, path.back().y);
    if (end == gates.size()) {
      const bool onward =
          end == at || (b.y - gates[end - 1].y) * (gates[end - 1].y - path.back().y) > 0;
      if (onward) {
        pull_taut(gates, at, end, b, path);
        return thinned(path);
      }
    }
    if (end == at) {  // along the row of the last point
      path.push_back({std::clamp(path.back().x, gates[at].lo, gates[at].hi), gates[at].y});
      ++at;
      continue;
    }
    const Gate& turn = gates[end - 1];
    // where the direction changes the path heads for the place nearest to what comes next
    const double next_x = end < gates.size() ? (gates[end].lo + gates[end].hi) / 2 : b.x;
    const Point corner{std::clamp(next_x, turn.lo, turn.hi), turn.y};
    pull_taut(gates, at, end - 1, corner, path);
    at = end;
  }
  path.push_back(b);
  return thinned(path);
}

int span_near(const Rows& rows, Point p) {
  int best = -1;
  double best_distance = 1e300;
  const int middle =
      rows.n_rows == 0
          ? 0
          : std::clamp(static_cast<int>(std::lround((p.y - rows.first_mm) / rows.spacing_mm)), 0,
                       rows.n_rows - 1);
  const auto look = [&](int row) {
    if (row < 0 || row >= rows.n_rows) return false;
    const double dy = std::abs(rows.y(row) - p.y);
    if (dy >= best_distance) return false;
    for (int s = rows.first_span[row]; s < rows.first_span[row + 1]; ++s) {
      const double dx = std::max({0.0, rows.spans[s].x0 - p.x, p.x - rows.spans[s].x1});
      const double d = std::hypot(dx, dy);
      if (d < best_distance) best_distance = d, best = s;
    }
    return true;
  };
  bool down = look(middle), up = true;
  for (int step = 1; down || up; ++step) {
    down = look(middle - step);
    up = look(middle + step);
  }
  return best;
}

Polyline travel_stitches(const Polyline& path, double longest_mm, double shortest_mm) {
  Polyline out;
  if (path.size() < 2) return out;
  Point last = path.front();
  for (std::size_t i = 1; i < path.size(); ++i) {
    const bool is_end = i + 1 == path.size();
    double d = geometry::distance(last, path[i]);
    if (d < shortest_mm && !is_end) continue;
    if (d < shortest_mm) {  // the end stands, not its neighbour
      if (!out.empty()) out.pop_back();
      if (d > 0 || !out.empty()) out.push_back(path[i]);
      break;
    }
    if (!(last == path[i - 1])) {  // a corner was left out: back to the path
      const Point back = leaves_disc(last, shortest_mm, path[i - 1], path[i]);
      d = geometry::distance(back, path[i]);
      if (d >= shortest_mm || !is_end) out.push_back(last = back);
      if (d < shortest_mm && !is_end) continue;
      d = geometry::distance(last, path[i]);
    }
    const int n = std::max(1, static_cast<int>(std::ceil(d / longest_mm - 1e-9)));
    for (int k = 1; k <= n; ++k)
      out.push_back(k < n ? geometry::mix(last, path[i], double(k) / n) : path[i]);
    last = path[i];
  }
  return out;
}

}  // namespace buckram::digitise
