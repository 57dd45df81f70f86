#include "digitise/fill_sew.h"

#include "digitise/fill_travel.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>

namespace buckram::digitise {

using geometry::Point;
using geometry::Polyline;

namespace {

constexpr double kShortestTurnMm = 0.25;  // nothing is shorter: crowded holes cut cloth
constexpr double kTipFromMm = 0.7;        // a wedge beside a row end longer than this is filled
constexpr double kTipShare = 0.7;         // of the wedge; the next row's thread covers the rest
constexpr double kTipRootMm = 1.2;        // how far inside the row the thread leaves for the tip
constexpr double kEdgeMm = 0.05;          // how closely turns follow the outline

double drawn_length(const Lane& lane) {
  return geometry::length(lane.path);
}

struct Sewer {
  const Rows& rows;
  const std::vector<Lane>& lanes;
  const Recipe& recipe;
  std::vector<std::array<Polyline, 2>> tips;  // of each lane, by side
  Polyline points;
  std::vector<char> soft;

  void put(Point p, bool is_soft = false) {
    points.push_back(p);
    soft.push_back(is_soft ? 1 : 0);
  }
  Polyline& tip(std::size_t lane, Side side) { return tips[lane][side == Side::right ? 1 : 0]; }
};

// The outline from the end of lane i to that of lane i + 1, ends included.
Polyline edge(const Sewer& sewer, std::size_t i, Side side) {
  const Lane &a = sewer.lanes[i], &b = sewer.lanes[i + 1];
  const bool upward = sewer.rows.spans[a.span].row <= sewer.rows.spans[b.span].row;
  Polyline line =
      upward ? edge_between(sewer.rows, a, b, side) : edge_between(sewer.rows, b, a, side);
  if (!upward) std::reverse(line.begin(), line.end());
  line.insert(line.begin(), end_of(a, side));
  line.push_back(end_of(b, side));
  return line;
}

// The first part of a line, by length.
Polyline head(const Polyline& line, double length_mm) {
  Polyline out{line.front()};
  double left = length_mm;
  for (std::size_t i = 1; i < line.size(); ++i) {
    const double d = geometry::distance(line[i - 1], line[i]);
    if (d >= left) {
      if (d > 0) out.push_back(geometry::mix(line[i - 1], line[i], left / d));
      return out;
    }
    out.push_back(line[i]);
    left -= d;
  }
  return out;
}

// Between two rows, on the side where the thread does not turn, a shallow outline leaves a wedge
// bare. The shorter row fills it: its end goes on along the outline.
void find_tip(Sewer& sewer, std::size_t i, Side side) {
  Polyline line = edge(sewer, i, side);
  if (std::abs(line.front().x - line.back().x) < kTipFromMm) return;
  const double outward = side == Side::right ? 1 : -1;
  const bool first_is_short = (line.back().x - line.front().x) * outward > 0;
  if (!first_is_short) std::reverse(line.begin(), line.end());
  line = geometry::simplify(line, kEdgeMm);
  sewer.tip(first_is_short ? i : i + 1, side) = head(line, kTipShare * geometry::length(line));
}

void put_turn(Sewer& sewer, std::size_t i, Side side) {
  const Polyline line = geometry::simplify(edge(sewer, i, side), kEdgeMm);
  if (line.size() < 3 && geometry::length(line) <= sewer.recipe.fill_stitch_mm) return;
  Polyline on = travel_stitches(line, sewer.recipe.fill_stitch_mm, sewer.recipe.shortest_mm);
  if (!on.empty()) on.pop_back();  // the next lane's end comes with the lane
  for (Point p : on) sewer.put(p, true);
}

// Penetrations within a straight lane, from x0 to x1 in that order.
void put_bricks(Sewer& sewer, const Lane& lane, double x0, double x1) {
  const double stitch = sewer.recipe.fill_stitch_mm, least = sewer.recipe.shortest_mm;
  const double y = lane.path.front().y;
  const double lo = std::min(x0, x1) + least, hi = std::max(x0, x1) - least;
  const double offset = brick_offset(sewer.rows.spans[lane.span].row) * stitch;
  const double first = std::ceil((lo - offset) / stitch), last = std::floor((hi - offset) / stitch);
  const bool forward = x1 >= x0;
  for (double k = forward ? first : last; forward ? k <= last : k >= first; k += forward ? 1 : -1)
    sewer.put({offset + k * stitch, y}, true);
}

// The thread along a tip, out from the row's end or back to it.
void put_tip(Sewer& sewer, Polyline tip, bool outward) {
  if (!outward) std::reverse(tip.begin(), tip.end());
  for (Point p : travel_stitches(tip, sewer.recipe.fill_stitch_mm, sewer.recipe.shortest_mm))
    sewer.put(p, true);
}

void put_row(Sewer& sewer, std::size_t i, Side from) {
  const Lane& lane = sewer.lanes[i];
  const Point a = end_of(lane, from), b = end_of(lane, other(from));
  const double inward = from == Side::left ? kTipRootMm : -kTipRootMm;
  const Polyline &tip_a = sewer.tip(i, from), &tip_b = sewer.tip(i, other(from));
  const bool rooted = std::abs(b.x - a.x) > 4 * kTipRootMm;
  double x0 = a.x, x1 = b.x;
  sewer.put(a);
  if (!tip_a.empty()) {
    put_tip(sewer, tip_a, true);
    if (rooted) sewer.put({x0 += inward, a.y});
  }
  if (!tip_b.empty() && rooted) x1 -= inward;
  put_bricks(sewer, lane, x0, x1);
  if (!tip_b.empty()) {
    if (rooted) sewer.put({x1, b.y});
    sewer.put(tip_b.back());
    put_tip(sewer, tip_b, false);
  }
  sewer.put(b);
}

void put_cap(Sewer& sewer, const Lane& lane, Side from) {
  Polyline path = lane.path;
  if (from == Side::right) std::reverse(path.begin(), path.end());
  sewer.put(path.front());
  for (Point p : travel_stitches(path, sewer.recipe.fill_stitch_mm, sewer.recipe.shortest_mm))
    sewer.put(p, true);
  sewer.soft.back() = 0;
}

double distance_last(const Sewer& sewer, Point p) {
  return sewer.points.empty() ? 1e9 : geometry::distance(sewer.points.back(), p);
}

}  // namespace

double brick_offset(int row) {
  // Weyl's sequence on the golden section; scatter from a hash (the finaliser of splitmix64)
  std::uint64_t h = static_cast<std::uint64_t>(row) + 0x9e3779b97f4a7c15ULL;
  h = (h ^ (h >> 30)) * 0xbf58476d1ce4e5b9ULL;
  h = (h ^ (h >> 27)) * 0x94d049bb133111ebULL;
  const double scatter =
      (static_cast<double>((h ^ (h >> 31)) >> 11) / 9007199254740992.0 - 0.5) * 0.04;
  const double offset = 0.3819660112501051 * row + scatter;
  return offset - std::floor(offset);
}

void keep_lengths(Polyline& points, std::vector<char>& soft, const Recipe& recipe) {
  constexpr int kPasses = 8;
  for (int pass = 0; pass < kPasses; ++pass) {
    std::vector<Point> kept;
    std::vector<char> kept_soft;
    bool changed = false;
    const std::size_t n = points.size();
    for (std::size_t i = 0; i < n; ++i) {
      const bool last = i + 1 == n;
      if (kept.empty()) {
        kept.push_back(points[i]), kept_soft.push_back(soft[i]);
        continue;
      }
      const double d = geometry::distance(kept.back(), points[i]);
      const bool turns =
          kept.size() >= 2 && !last &&
          geometry::dot(kept.back() - kept[kept.size() - 2], points[i + 1] - points[i]) < 0;
      // at the ends of a section the rows before and after belong to other pieces
      const bool free_end = kept.size() == 1 || last;
      const bool fine =
          d >= recipe.shortest_mm || (d >= kShortestTurnMm && (turns || (free_end && n <= 3)));
      if (fine) {
        kept.push_back(points[i]), kept_soft.push_back(soft[i]);
        continue;
      }
      changed = true;
      const bool drop_before = kept.size() > 1 && (last || (kept_soft.back() && !soft[i]));
      if (!drop_before) {
        if (last) kept.push_back(points[i]), kept_soft.push_back(soft[i]), changed = false;
        continue;
      }
      kept.pop_back(), kept_soft.pop_back();
      --i;
    }
    points = std::move(kept);
    soft = std::move(kept_soft);
    if (!changed) return;
  }
}

Polyline sew_lanes(const Rows& rows, const std::vector<Lane>& lanes, Side start,
                   const Recipe& recipe) {
  Sewer sewer{rows, lanes, recipe, {}, {}, {}};
  sewer.tips.resize(lanes.size());
  Side side = start;
  for (std::size_t i = 0; i + 1 < lanes.size(); ++i) {
    find_tip(sewer, i, side);
    side = other(side);
  }
  side = start;
  bool was_narrow = true;
  for (std::size_t i = 0; i < lanes.size(); ++i) {
    const bool is_narrow = drawn_length(lanes[i]) < recipe.shortest_mm;
    if (i > 0 && !was_narrow && !is_narrow) put_turn(sewer, i - 1, side);
    was_narrow = is_narrow;
    if (is_narrow && lanes.size() > 1) {
      // from side to side, as many rows on as make a stitch
      const Point p = end_of(lanes[i], i == 0 ? side : other(side));
      if (distance_last(sewer, p) < recipe.shortest_mm) continue;
      sewer.put(p);
      if (i > 0) side = other(side);
      continue;
    }
    lanes[i].is_cap ? put_cap(sewer, lanes[i], side) : put_row(sewer, i, side);
    side = other(side);
  }
  keep_lengths(sewer.points, sewer.soft, recipe);
  return std::move(sewer.points);
}

}  // namespace buckram::digitise
