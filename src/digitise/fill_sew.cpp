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
constexpr double kLeanFromMm = 0.25;      // for a smaller wedge the row goes on straight,
constexpr double kLeanShare = 0.3;        // by this share of it
constexpr double kTipDepth = 0.3;         // of the row spacing: nearer, holes crowd
constexpr double kPlainTipMm = 3;         // a longer tip is sewn out and back along the outline
constexpr double kTipRootMm = 1.2;        // how far inside the row the thread leaves for the tip
constexpr double kPlainRootMm = 0.5;      // for a plain tip: farther in, a slit opens beside it
constexpr double kClearMm = 0.25;         // a row's end draws back so far from a corner it passes
constexpr double kNarrowMm = 0.5;         // shorter rows become a zigzag
constexpr double kShortRow = 2;           // shortest stitches; shorter rows may have a short stitch
constexpr double kShortCapMm = 5;         // shorter caps are cut into equal stitches
constexpr double kValleyReachMm = 3;      // from where the thread is
constexpr double kEdgeMm = 0.05;          // how closely turns follow the outline

double drawn_length(const Lane& lane) {
  return geometry::length(lane.path);
}

struct Sewer {
  const Rows& rows;
  const std::vector<Lane>& lanes;
  const Recipe& recipe;
  std::vector<std::array<Polyline, 2>> tips;  // of each lane, by side
  std::vector<std::array<Point, 2>> ends;     // where each lane's thread ends, by side
  std::vector<Polyline> turns;                // the outline from each lane to the next, if long
  Polyline points;
  std::vector<Rank> ranks;

  void put(Point p, Rank rank = Rank::hard) {
    points.push_back(p);
    ranks.push_back(rank);
  }
  Point& end(std::size_t lane, Side side) { return ends[lane][side == Side::right ? 1 : 0]; }
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

// The first part of a line, up to where it comes within `near_mm` of the height y for good.
Polyline up_to(const Polyline& line, double y, double near_mm) {
  std::size_t last = line.size();
  const auto is_near = [&](Point p) { return std::abs(p.y - y) <= near_mm; };
  while (last > 1 && is_near(line[last - 1])) --last;
  Polyline out(line.begin(), line.begin() + static_cast<std::ptrdiff_t>(last));
  if (last < line.size()) {
    const double d0 = std::abs(line[last - 1].y - y), d1 = std::abs(line[last].y - y);
    out.push_back(geometry::mix(line[last - 1], line[last], (d0 - near_mm) / (d0 - d1)));
  }
  return out;
}

// The corners of a line after its first point, with soft penetrations between where they are far
// apart; the last only when asked for.
void put_along(Sewer& sewer, const Polyline& line, bool with_last) {
  for (std::size_t k = 1; k < line.size(); ++k) {
    const double d = geometry::distance(line[k - 1], line[k]);
    const int n = std::max(1, static_cast<int>(std::ceil(d / sewer.recipe.fill_stitch_mm - 1e-9)));
    for (int j = 1; j < n; ++j)
      sewer.put(geometry::mix(line[k - 1], line[k], double(j) / n), Rank::soft);
    if (with_last || k + 1 < line.size()) sewer.put(line[k]);
  }
}

// Where the thread goes on from a row into the outline without turning back, a corner close to
// the row's end would make a stitch too short: it moves on along the outline, and the row's end
// moves back a little so that the stitch between them clears the corner. Whether it did.
bool ease_start(Polyline& line, Side side, double shortest_mm) {
  const double outward = side == Side::right ? 1 : -1;
  while (line.size() >= 3 && geometry::distance(line[0], line[1]) < shortest_mm) {
    const Point on = line[2] - line[1];
    if (on.x * outward <= 0) return false;
    if (geometry::norm(on) > 2 * shortest_mm) {
      line[0].x -= outward * kClearMm;
      const double across = std::abs(line[1].y - line[0].y);
      const double along = std::sqrt(std::max(0.0, shortest_mm * shortest_mm - across * across));
      line[1].x = std::max(line[1].x * outward, line[0].x * outward + along + 0.01) * outward;
      return true;
    }
    line.erase(line.begin() + 1);
  }
  return false;
}

// Ways begin and end at true row ends.
void set_end(Sewer& sewer, std::size_t lane, Side side, Point p) {
  if (lane > 0 && lane + 1 < sewer.lanes.size()) sewer.end(lane, side) = p;
}

// Between two rows, on the side where the thread does not turn, a shallow outline leaves a wedge
// bare. The shorter row fills it: its end goes on along the outline, or, where that is too short to
// sew, a little further along the row (under 0.1 mm past the outline).
void find_tip(Sewer& sewer, std::size_t i, Side side) {
  Polyline line = edge(sewer, i, side);
  const double wide = std::abs(line.front().x - line.back().x);
  if (wide < kLeanFromMm || sewer.lanes[i].is_cap || sewer.lanes[i + 1].is_cap) return;
  const double outward = side == Side::right ? 1 : -1;
  const bool first_is_short = (line.back().x - line.front().x) * outward > 0;
  const std::size_t lane = first_is_short ? i : i + 1;
  if (!first_is_short) std::reverse(line.begin(), line.end());
  line = geometry::simplify(line, kEdgeMm);
  if (wide >= kTipFromMm) {
    line = up_to(line, line.back().y, kTipDepth * sewer.rows.spacing_mm);
    if (ease_start(line, side, sewer.recipe.shortest_mm)) set_end(sewer, lane, side, line[0]);
    sewer.tip(lane, side) = std::move(line);
  } else {
    set_end(sewer, lane, side, sewer.end(lane, side) + Point{outward * kLeanShare * wide, 0});
  }
}

// Whether the turn from lane i to the next runs far along the outline.
bool is_wide_turn(const Sewer& sewer, std::size_t i, Side side) {
  return std::abs(end_of(sewer.lanes[i], side).x - end_of(sewer.lanes[i + 1], side).x) >=
         kTipFromMm;
}

void find_turn(Sewer& sewer, std::size_t i, Side side) {
  if (!is_wide_turn(sewer, i, side)) return;
  Polyline line = geometry::simplify(edge(sewer, i, side), kEdgeMm);
  for (const std::size_t lane : {i, i + 1}) {
    if (ease_start(line, side, sewer.recipe.shortest_mm)) set_end(sewer, lane, side, line[0]);
    std::reverse(line.begin(), line.end());
  }
  sewer.turns[i] = std::move(line);
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
    sewer.put({offset + k * stitch, y}, Rank::soft);
}

// Whether the thread can go straight between the row and the end of the tip.
bool is_plain(const Polyline& tip) {
  return tip.size() == 2 && geometry::distance(tip[0], tip[1]) < kPlainTipMm;
}

// Out along a long tip and back, between two places on the row: from the row's end itself the
// thread would go on without turning.
void put_long_tip(Sewer& sewer, const Polyline& tip, Point out_from, Point back_to) {
  sewer.put(out_from);
  put_along(sewer, tip, true);
  put_along(sewer, Polyline(tip.rbegin(), tip.rend()), false);
  sewer.put(back_to);
}

void put_row(Sewer& sewer, std::size_t i, Side from) {
  const Lane& lane = sewer.lanes[i];
  const Point a = sewer.end(i, from), b = sewer.end(i, other(from));
  const double inward = from == Side::left ? kTipRootMm : -kTipRootMm;
  const Polyline &tip_a = sewer.tip(i, from), &tip_b = sewer.tip(i, other(from));
  const bool is_long = std::abs(b.x - a.x) > 4 * kTipRootMm;
  const bool plain_a = !tip_a.empty() && (!is_long || is_plain(tip_a));
  const bool plain_b = !tip_b.empty() && (!is_long || is_plain(tip_b));
  const bool first = i == 0, last = i + 1 == sewer.lanes.size();
  // beside a tip or a wide turn the row holds its line to near its end
  const bool is_rooted = std::abs(b.x - a.x) > 2 * kPlainRootMm + sewer.recipe.shortest_mm;
  const auto has_root = [&](const Polyline& tip, bool is_plain_tip, bool is_at_turn) {
    return is_plain_tip ? is_rooted : is_long && (!tip.empty() || is_at_turn);
  };
  const bool root_a = has_root(tip_a, plain_a, !first && is_wide_turn(sewer, i - 1, from));
  const bool root_b = has_root(tip_b, plain_b, !last && is_wide_turn(sewer, i, other(from)));
  const double plain = from == Side::left ? kPlainRootMm : -kPlainRootMm;
  const double x0 = a.x + (!root_a ? 0 : plain_a ? plain : inward);
  const double x1 = b.x - (!root_b ? 0 : plain_b ? plain : inward);
  const double aside = 0.25 * inward;  // never twice in one hole
  // a plain tip is reached from, and left for, the neighbouring row without a stop at the row's end
  if (first || !plain_a) sewer.put(a);
  if (plain_a) put_along(sewer, tip_a, true);
  if (!tip_a.empty() && !plain_a)
    put_long_tip(sewer, tip_a, {x0, a.y}, {x0 + aside, a.y});
  else if (root_a)
    sewer.put({x0, a.y});
  put_bricks(sewer, lane, x0, x1);
  if (!tip_b.empty() && !plain_b)
    put_long_tip(sewer, tip_b, {x1, b.y}, {x1 - aside, b.y});
  else if (root_b)
    sewer.put({x1, b.y});
  if (plain_b) sewer.put(tip_b.back());
  if (plain_b && last) put_along(sewer, Polyline(tip_b.rbegin(), tip_b.rend()), false);
  if (plain_b && !last) return;
  const bool is_short = std::abs(b.x - a.x) < kShortRow * sewer.recipe.shortest_mm;
  sewer.put(b, is_short ? Rank::short_row : Rank::hard);
}

// Equal stitches that follow the line to half a thread's eighth, or as nearly as the shortest
// stitch allows; a lone chord is moved out to halve what it misses.
Polyline cap_points(const Polyline& path, const Recipe& recipe) {
  const double length = geometry::length(path);
  const int most = std::max(1, static_cast<int>(length / (1.2 * recipe.shortest_mm)));
  int n = std::max(1, static_cast<int>(std::ceil(length / recipe.fill_stitch_mm)));
  const auto miss = [&](const Polyline& chords) {
    Point worst;
    for (Point p : path) {
      Point best{1e9, 1e9};
      for (std::size_t i = 0; i + 1 < chords.size(); ++i) {
        const Point d = chords[i + 1] - chords[i];
        const double t = std::clamp(
            geometry::dot(p - chords[i], d) / std::max(geometry::dot(d, d), 1e-12), 0.0, 1.0);
        const Point off = p - (chords[i] + d * t);
        if (geometry::norm(off) < geometry::norm(best)) best = off;
      }
      if (geometry::norm(best) > geometry::norm(worst)) worst = best;
    }
    return worst;
  };
  Polyline points = geometry::resample_n(path, n + 1);
  while (n < most && geometry::norm(miss(points)) > kEdgeMm)
    points = geometry::resample_n(path, ++n + 1);
  if (n == 1) {
    const Point out = miss(points) * 0.5;
    for (Point& p : points) p = p + out;
  }
  return points;
}

void put_cap(Sewer& sewer, const Lane& lane, Side from) {
  Polyline path = lane.path;
  const bool is_short = geometry::length(path) < kShortCapMm;
  if (is_short) path = cap_points(path, sewer.recipe);
  if (from == Side::right) std::reverse(path.begin(), path.end());
  sewer.put(path.front());
  put_along(sewer, path, true);
  if (path.size() == 2 && is_short) sewer.ranks.back() = Rank::short_row;
}

double distance_last(const Sewer& sewer, Point p) {
  return sewer.points.empty() ? 1e9 : geometry::distance(sewer.points.back(), p);
}

// A row too short for stitches of its own: from side to side, as many rows on as make a stitch.
// `side` is where the next lane begins.
void put_narrow(Sewer& sewer, std::size_t i, Side& side) {
  const Point p = end_of(sewer.lanes[i], i == 0 ? side : other(side));
  if (distance_last(sewer, p) < sewer.recipe.shortest_mm) return;
  sewer.put(p);
  if (i > 0) side = other(side);
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

void keep_lengths(Polyline& points, std::vector<Rank>& ranks, const Recipe& recipe) {
  constexpr int kPasses = 8;
  for (int pass = 0; pass < kPasses; ++pass) {
    Polyline kept;
    std::vector<Rank> kept_ranks;
    bool changed = false;
    for (std::size_t i = 0; i < points.size(); ++i) {
      while (true) {
        const bool last = i + 1 == points.size();
        const double d = kept.empty() ? 1e9 : geometry::distance(kept.back(), points[i]);
        const bool turns =
            kept.size() < 2 || last ||
            geometry::dot(kept.back() - kept[kept.size() - 2], points[i + 1] - points[i]) < 0;
        const bool may_be_short = turns || ranks[i] == Rank::short_row;
        if (d >= (may_be_short ? kShortestTurnMm : recipe.shortest_mm)) {
          kept.push_back(points[i]), kept_ranks.push_back(ranks[i]);
          break;
        }
        changed = true;
        const bool drop_before =
            last || (kept_ranks.back() == Rank::soft && ranks[i] != Rank::soft);
        if (!drop_before) break;
        if (kept.size() == 1) {  // first and last both stay
          kept.push_back(points[i]), kept_ranks.push_back(ranks[i]);
          break;
        }
        kept.pop_back(), kept_ranks.pop_back();
      }
    }
    points = std::move(kept);
    ranks = std::move(kept_ranks);
    if (!changed) return;
  }
}

Polyline sew_lanes(const Rows& rows, const std::vector<Lane>& lanes, Side start,
                   const Recipe& recipe) {
  Sewer sewer{rows, lanes, recipe, {}, {}, {}, {}, {}};
  sewer.turns.resize(lanes.size());
  sewer.tips.resize(lanes.size());
  for (const Lane& lane : lanes)
    sewer.ends.push_back({end_of(lane, Side::left), end_of(lane, Side::right)});
  // Tips and turns are found as each lane's turn comes: which side it begins on depends on the rows
  // before that were too narrow for more than a zigzag.
  const auto find_next = [&](std::size_t i, Side begins) {
    if (i + 1 == lanes.size()) return;
    find_tip(sewer, i, begins);
    find_turn(sewer, i, other(begins));
  };
  Side side = start;
  bool was_narrow = true;
  for (std::size_t i = 0; i < lanes.size(); ++i) {
    const bool is_narrow = drawn_length(lanes[i]) < kNarrowMm && lanes.size() > 1;
    // A valley at the far end of the row: past a zigzag the thread may not be where it was to be.
    const bool is_valley = lanes[i].far_span >= 0;
    if (i > 0 && is_valley && distance_last(sewer, sewer.end(i, side)) > kValleyReachMm) continue;
    if (is_narrow) {
      put_narrow(sewer, i, side);
      find_next(i, other(side));
    } else {
      find_next(i, side);
      if (i > 0 && !sewer.points.empty())
        put_along(
            sewer,
            was_narrow ? Polyline{sewer.points.back(), sewer.end(i, side)} : sewer.turns[i - 1],
            false);
      lanes[i].is_cap ? put_cap(sewer, lanes[i], side) : put_row(sewer, i, side);
      side = other(side);
    }
    was_narrow = is_narrow;
  }
  keep_lengths(sewer.points, sewer.ranks, recipe);
  return std::move(sewer.points);
}

}  // namespace buckram::digitise
