#include "digitise/fill_sew.h"

#include "digitise/fill_travel.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace buckram::digitise {
namespace {

using geometry::Point;
using geometry::Polyline;

std::vector<Lane> lanes_for(const Rows& rows, const Section& section, const RowStyle& style) {
  std::vector<Lane> lanes = lanes_of(rows, section, style.past_mm, style.cap_from_mm);
  for (Lane& lane : lanes) {
    // Drawn short, a narrow row must not turn inside out.
    if (!lane.is_cap && lane.path.front().x > lane.path.back().x) {
      const double middle = (lane.path.front().x + lane.path.back().x) / 2;
      lane.path.front().x = lane.path.back().x = middle;
    }
  }
  return lanes;
}

// Holes along a straight row from `from` to `to`, ends left out: a brick pattern fixed on the
// cloth, so that it goes on from section to section.
void brick_points(Point from, Point to, int row, const RowStyle& style, Polyline& out) {
  const double low = std::min(from.x, to.x), high = std::max(from.x, to.x);
  const double shift = (row * style.brick - std::floor(row * style.brick)) * style.stitch_mm;
  std::vector<double> xs;
  for (double k = std::ceil((low - shift) / style.stitch_mm);; k += 1) {
    const double x = shift + k * style.stitch_mm;
    if (x > high - style.shortest_mm) break;
    if (x >= low + style.shortest_mm) xs.push_back(x);
  }
  if (from.x > to.x) std::reverse(xs.begin(), xs.end());
  for (const double x : xs) out.push_back({x, from.y});
}

void lane_points(const Lane& lane, Side from, const Rows& rows, const RowStyle& style,
                 Polyline& out) {
  Polyline path = lane.path;
  if (from == Side::right) std::reverse(path.begin(), path.end());
  out.push_back(path.front());
  if (!lane.is_cap) {
    brick_points(path.front(), path.back(), rows.spans[static_cast<std::size_t>(lane.span)].row,
                 style, out);
    if (geometry::distance(out.back(), path.back()) >= 0.25) out.push_back(path.back());
    return;
  }
  const Polyline stitches = travel_stitches(path, style.travel_mm, style.shortest_mm);
  out.insert(out.end(), stitches.begin(), stitches.end());
}

// From lane to lane along the outline, where the two ends lie farther apart than a turn.
void turn_points(const Rows& rows, const Lane& from, const Lane& to, Side side,
                 const RowStyle& style, Polyline& out) {
  constexpr double kTurnMm = 0.9;
  const Point a = end_of(from, side), b = end_of(to, side);
  if (!style.follow_edge || geometry::distance(a, b) < kTurnMm) return;
  const bool upward = a.y <= b.y;
  Polyline edge = edge_between(rows, upward ? from : to, upward ? to : from, side);
  if (!upward) std::reverse(edge.begin(), edge.end());
  edge.insert(edge.begin(), a);
  edge.push_back(b);
  const Polyline stitches = travel_stitches(edge, style.travel_mm, style.shortest_mm);
  if (stitches.size() > 1) out.insert(out.end(), stitches.begin(), stitches.end() - 1);
}

Polyline sew_lanes(const Rows& rows, const std::vector<Lane>& lanes, Side from,
                   const RowStyle& style) {
  Polyline out;
  Side side = from;
  for (std::size_t i = 0; i < lanes.size(); ++i) {
    lane_points(lanes[i], side, rows, style, out);
    side = other(side);
    if (i + 1 < lanes.size()) turn_points(rows, lanes[i], lanes[i + 1], side, style, out);
  }
  return out;
}

// Sews straight through holes that are nearer than a thread and splits what is too long.
Polyline kept_apart(const Polyline& points, const RowStyle& style) {
  constexpr double kNearest = 0.25;
  Polyline out;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const bool is_last = i + 1 == points.size();
    if (!out.empty() && geometry::distance(out.back(), points[i]) < kNearest) {
      if (is_last && out.size() > 1) out.back() = points[i];
      if (!is_last || out.size() > 1) continue;
    }
    if (!out.empty()) {
      const Point from = out.back();
      const double length = geometry::distance(from, points[i]);
      const int n = static_cast<int>(std::ceil(length / style.longest_mm));
      for (int k = 1; k < n; ++k) out.push_back(geometry::mix(from, points[i], double(k) / n));
    }
    out.push_back(points[i]);
  }
  return out;
}

struct Walker {
  const Rows& rows;
  const Sections& sections;
  const RowStyle& style;
  Point at;
  int span = -1;           // the span it stands at
  std::vector<char> sewn;  // sections

  Polyline travel_to(Point target, int target_span) {
    if (geometry::distance(at, target) < style.shortest_mm) return {};
    const std::vector<int> route = span_route(sections, span, target_span, sewn);
    constexpr double kMarginMm = 0.4;
    Polyline path = taut_path(rows, route, at, target, kMarginMm);
    Polyline stitches = travel_stitches(path, style.travel_mm, style.shortest_mm);
    // The end itself is the first hole of what follows.
    while (!stitches.empty() && geometry::distance(stitches.back(), target) < style.shortest_mm) {
      stitches.pop_back();
    }
    return stitches;
  }

  RowRun sew(const Visit& visit, const RowEnd* end) {
    const auto s = static_cast<std::size_t>(visit.section);
    std::vector<Lane> lanes = lanes_for(rows, sections.list[s], style);
    if (!visit.upward) std::reverse(lanes.begin(), lanes.end());
    Side side = nearer_side(lanes.front());
    if (end != nullptr) side = lanes.size() % 2 == 1 ? other(end->side) : end->side;
    RowRun run;
    run.travel = travel_to(end_of(lanes.front(), side), lanes.front().span);
    run.lanes = kept_apart(sew_lanes(rows, lanes, side, style), style);
    at = run.lanes.back();
    span = lanes.back().span;
    sewn[s] = 1;
    return run;
  }

  Side nearer_side(const Lane& lane) const {
    return geometry::distance(at, end_of(lane, Side::left)) <=
                   geometry::distance(at, end_of(lane, Side::right))
               ? Side::left
               : Side::right;
  }
};

}  // namespace

Point place_of(const Rows& rows, const Sections& sections, const RowEnd& end,
               const RowStyle& style) {
  const std::vector<Lane> lanes =
      lanes_for(rows, sections.list[static_cast<std::size_t>(end.section)], style);
  return end_of(end.top ? lanes.back() : lanes.front(), end.side);
}

RowEnd nearest_end(const Rows& rows, const Sections& sections, Point p, const RowStyle& style) {
  RowEnd best;
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t s = 0; s < sections.list.size(); ++s) {
    const std::vector<Lane> lanes = lanes_for(rows, sections.list[s], style);
    for (const bool top : {false, true}) {
      for (const Side side : {Side::left, Side::right}) {
        const double d = geometry::distance(p, end_of(top ? lanes.back() : lanes.front(), side));
        if (d < least) least = d, best = {static_cast<int>(s), top, side};
      }
    }
  }
  return best;
}

std::vector<RowRun> sew_sections(const Rows& rows, const Sections& sections, Point entry,
                                 const RowEnd& end, const RowStyle& style) {
  std::vector<RowRun> runs;
  Walker walker{rows,
                sections,
                style,
                entry,
                span_near(rows, entry),
                std::vector<char>(sections.list.size(), 0)};
  if (walker.span < 0) return runs;
  const int first = sections.of_span[static_cast<std::size_t>(walker.span)];
  const std::vector<Visit> order = sewing_order(sections, end.section, end.top, first);
  for (std::size_t i = 0; i < order.size(); ++i) {
    runs.push_back(walker.sew(order[i], i + 1 == order.size() ? &end : nullptr));
  }
  return runs;
}

}  // namespace buckram::digitise
