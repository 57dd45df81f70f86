#include "digitise/keep_limits.h"

#include "digitise/spread.h"
#include "digitise/stay_inside.h"

#include "base/base.h"

#include <algorithm>
#include <cmath>

namespace buckram::digitise {
namespace {

using geometry::Point;
using geometry::Polyline;
using stitch::Layer;
using stitch::Within;

constexpr double kShortestAnyMm = stitch::Limits{}.shortest_any_mm;

void drop_empty(std::vector<Piece>& pieces) {
  std::erase_if(pieces, [](const Piece& piece) { return piece.points.empty(); });
}

bool is_under(const Piece& piece) {
  return piece.layer == Layer::under || piece.layer == Layer::travel;
}

// Under-stitching and travel are seen by nobody: where their holes come nearer to the one before
// or to the first of the top layer than the shortest stitch, they are left out.
void thin_under(std::vector<Piece>& pieces, double shortest_mm) {
  bool has_before = false;
  Point before;
  for (std::size_t k = 0; k < pieces.size(); ++k) {
    Polyline kept;
    for (const Point p : pieces[k].points) {
      if (is_under(pieces[k]) && has_before && geometry::distance(before, p) < shortest_mm) {
        continue;
      }
      kept.push_back(p);
      before = p;
      has_before = true;
    }
    // The holes just before the top layer give way to it.
    const bool top_follows =
        k + 1 < pieces.size() && !pieces[k + 1].points.empty() && pieces[k + 1].layer == Layer::top;
    if (top_follows && is_under(pieces[k])) {
      const Point first = pieces[k + 1].points.front();
      const std::size_t least = k == 0 ? 1 : 0;
      while (kept.size() > least && geometry::distance(kept.back(), first) < shortest_mm) {
        kept.pop_back();
      }
    }
    pieces[k].points = std::move(kept);
    if (!pieces[k].points.empty()) before = pieces[k].points.back();
  }
  drop_empty(pieces);
}

// A place from which both ends can be reached on the cloth, near the middle between them.
bool way_round(Point p, Point q, const Within& cloth, Point& m) {
  const Point middle = geometry::mix(p, q, 0.5);
  const Point along = geometry::unit(q - p), across = geometry::left_of(along);
  for (int ring = 1; ring <= 12; ++ring) {
    const double mm = 0.2 * ring;
    for (const Point step :
         {across * mm, across * -mm, along * mm + across * mm, along * -mm + across * mm,
          along * mm - across * mm, along * -mm - across * mm}) {
      m = middle + step;
      if (cloth.contains(p, m) && cloth.contains(m, q)) return true;
    }
  }
  return false;
}

// How far the hole at `p` may be drawn along its row towards its neighbour: a full stitch is left.
double room_mm(Point p, Point neighbour, double shortest_mm) {
  return std::max(0.0, geometry::distance(p, neighbour) - shortest_mm);
}

// Where a stitch would lie past the outline, both its ends are drawn back along their own rows,
// never up to the next hole there, until it does not; where that does not help it is led round.
void keep_on_cloth(Polyline& points, const Within& cloth, double shortest_mm) {
  constexpr double kStepMm = 0.15, kMostMm = 1.8;
  for (std::size_t i = 1; i < points.size(); ++i) {
    if (cloth.contains(points[i - 1], points[i])) continue;
    const Point p = points[i - 1], q = points[i];
    const bool moves_p = i >= 2, moves_q = i + 1 < points.size();
    const Point back = moves_p ? geometry::unit(points[i - 2] - p) : Point{};
    const Point on = moves_q ? geometry::unit(points[i + 1] - q) : Point{};
    const double room_p = moves_p ? room_mm(p, points[i - 2], shortest_mm) : 0;
    const double room_q = moves_q ? room_mm(q, points[i + 1], shortest_mm) : 0;
    const double most = std::min(kMostMm, std::max(room_p, room_q));
    bool is_mended = false;
    for (double mm = kStepMm; mm <= most && !is_mended; mm += kStepMm) {
      const Point p2 = p + back * std::min(mm, room_p), q2 = q + on * std::min(mm, room_q);
      is_mended = cloth.contains(p2, q2);
      if (is_mended) points[i - 1] = p2, points[i] = q2;
    }
    Point m;
    if (!is_mended && way_round(p, q, cloth, m)) {
      points.insert(points.begin() + static_cast<std::ptrdiff_t>(i), m);
      ++i;
    }
  }
}

// Leaves out holes that make a stitch too short, where the thread runs on: not at row turns. In a
// run every hole but the ends may go.
void drop_short(Polyline& points, bool is_run, const Within& cloth, const Recipe& recipe) {
  const auto may_span = [&](Point a, Point b) {
    return geometry::distance(a, b) <= recipe.longest_mm && cloth.contains(a, b);
  };
  Polyline kept;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const Point p = points[i];
    if (kept.empty() || geometry::distance(kept.back(), p) >= recipe.shortest_mm) {
      kept.push_back(p);
      continue;
    }
    const Point here = p - kept.back();
    const bool has_next = i + 1 < points.size(), has_last = kept.size() > 1;
    // Within 60 degrees; a turn from row to row is near a right angle on both sides.
    const auto runs_on = [](Point a, Point b) {
      return geometry::dot(geometry::unit(a), geometry::unit(b)) > 0.5;
    };
    const bool goes_on = has_next && runs_on(here, points[i + 1] - p);
    const bool came_on = has_last && runs_on(kept.back() - kept[kept.size() - 2], here);
    const bool is_kink = has_next && has_last &&
                         runs_on(kept.back() - kept[kept.size() - 2], points[i + 1] - kept.back());
    if (has_next && (is_run || is_kink || (goes_on && came_on)) &&
        may_span(kept.back(), points[i + 1])) {
      continue;
    }
    if (has_last && (is_run || (goes_on && came_on)) && may_span(kept[kept.size() - 2], p)) {
      kept.pop_back();
    }
    kept.push_back(p);
  }
  points = std::move(kept);
}

// Of two holes of the top layer so near that they would cut the cloth one is left out, across
// pieces too: the one without which the thread stays on the cloth.
void thin_top(std::vector<Piece>& pieces, const Within& cloth) {
  struct Hole {
    std::size_t piece;
    Point at;
  };
  std::vector<Hole> all, kept;
  for (std::size_t k = 0; k < pieces.size(); ++k) {
    for (const Point p : pieces[k].points) all.push_back({k, p});
  }
  for (std::size_t i = 0; i < all.size(); ++i) {
    const bool is_near = !kept.empty() && pieces[all[i].piece].layer == Layer::top &&
                         geometry::distance(kept.back().at, all[i].at) < kShortestAnyMm;
    if (is_near && (i + 1 == all.size() || cloth.contains(kept.back().at, all[i + 1].at))) continue;
    const bool may_go = is_near && kept.size() > 1 && pieces[kept.back().piece].layer == Layer::top;
    if (may_go && cloth.contains(kept[kept.size() - 2].at, all[i].at)) kept.pop_back();
    kept.push_back(all[i]);
  }
  for (Piece& piece : pieces) piece.points.clear();
  for (const Hole& hole : kept) pieces[hole.piece].points.push_back(hole.at);
  drop_empty(pieces);
}

// Holes in sewing order from the start, or from the end backwards.
Polyline holes(const std::vector<Piece>& pieces, bool from_end) {
  Polyline all;
  for (const Piece& piece : pieces) all.insert(all.end(), piece.points.begin(), piece.points.end());
  if (from_end) std::reverse(all.begin(), all.end());
  return all;
}

// To and fro from `end` towards one of the next holes, else any way: the first on the cloth, in the
// largest steps that stay there. On a speck with room for none the needle goes down in one place.
Polyline lock_along(Point end, const Polyline& next, const Within& cloth) {
  constexpr int kWays = 16;
  std::vector<Point> ways;
  for (std::size_t i = 0; i < std::min<std::size_t>(next.size(), 12); ++i) {
    const Point d = geometry::unit(next[i] - end);
    if (geometry::norm(d) > 0) ways.push_back(d);
  }
  for (int k = 0; k < kWays; ++k) {
    const double angle = 2 * base::kPi * k / kWays;
    ways.push_back({std::cos(angle), std::sin(angle)});
  }
  for (const double step : {0.4, 0.3, 0.2, 0.1}) {
    for (const Point d : ways) {
      const Polyline lock{end, end + d * step, end + d * (2 * step), end};
      if (stays_inside(lock, cloth)) return lock;
    }
  }
  return {end, end, end, end};
}

void lock_end(std::vector<Piece>& pieces, const Within& cloth) {
  if (pieces.size() > 1 && pieces.back().layer == Layer::lock) {
    const Point before = pieces[pieces.size() - 2].points.back();
    if (stays_inside(pieces.back().points, cloth) &&
        cloth.contains(before, pieces.back().points.front()))
      return;
    pieces.pop_back();
  }
  Polyline lock = lock_along(pieces.back().points.back(), holes(pieces, true), cloth);
  lock.erase(lock.begin());
  pieces.push_back({Layer::lock, std::move(lock)});
}

void lock_start(std::vector<Piece>& pieces, const Within& cloth) {
  const Point start = pieces.front().points.front();
  if (pieces.size() > 1 && pieces.front().layer == Layer::lock) {
    if (stays_inside(pieces.front().points, cloth)) return;
    pieces.erase(pieces.begin());
  } else {
    pieces.front().points.erase(pieces.front().points.begin());
    drop_empty(pieces);
  }
  pieces.insert(pieces.begin(), {Layer::lock, lock_along(start, holes(pieces, false), cloth)});
}

}  // namespace

void keep_limits(const Object& object, const Recipe& recipe, const Ties& ties,
                 std::vector<Piece>& pieces) {
  drop_empty(pieces);
  if (pieces.empty()) return;
  const Within cloth = allowed_cloth(object.outline, recipe);
  thin_under(pieces, recipe.shortest_mm);
  spread_hidden(pieces, cloth, recipe);
  const stitch::Kind what = kind(object);
  for (Piece& piece : pieces) {
    const bool is_top = piece.layer == Layer::top && what != stitch::Kind::column;
    if (is_top || piece.layer == Layer::under)
      keep_on_cloth(piece.points, cloth, recipe.shortest_mm);
    if (is_top) drop_short(piece.points, what == stitch::Kind::run, cloth, recipe);
  }
  if (what == stitch::Kind::fill) spread_rows(pieces, cloth, recipe);
  if (what != stitch::Kind::column) thin_top(pieces, cloth);
  if (ties.out) lock_end(pieces, cloth);
  if (ties.in) lock_start(pieces, cloth);
}

}  // namespace buckram::digitise
