#include "digitise/fill.h"

#include "base/base.h"
#include "digitise/fill_sew.h"
#include "digitise/fill_travel.h"
#include "digitise/lock.h"
#include "digitise/stay_inside.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <tuple>

namespace buckram::digitise {
namespace {

using geometry::Affine;
using geometry::Point;
using geometry::Polygons;
using geometry::Polyline;

// A smaller fill holds by its own rows.
constexpr double kLatticeFromMm2 = 12;

// The centre line of the outermost thread: half a thread inside the outline it has to reach.
Polygons thread_area(const Polygons& outline, const Recipe& recipe) {
  Polygons inner = geometry::offset(outline, -recipe.thread_mm / 2, geometry::Join::miter);
  // Where that leaves nothing, or falls apart, the neck is kept: rows cross it all the same.
  if (inner.size() == 1) return inner;
  inner = geometry::offset(outline, -recipe.thread_mm / 8, geometry::Join::miter);
  return inner.size() == 1 ? inner : outline;
}

struct Layout {
  Rows rows;
  Sections sections;
  Affine to_cloth;
};

Layout layout(const Polygons& area, double angle, double spacing) {
  Layout made;
  made.rows = make_rows(area, angle, spacing);
  made.sections = make_sections(made.rows);
  made.to_cloth = geometry::rotation(angle);
  return made;
}

RowStyle top_style(const Recipe& recipe) {
  RowStyle style;
  style.stitch_mm = recipe.fill_stitch_mm;
  style.longest_mm = recipe.longest_mm;
  style.shortest_mm = recipe.shortest_mm;
  style.travel_mm = recipe.run_mm;
  style.past_mm = 0.03;
  return style;
}

RowStyle under_style(const Recipe& recipe) {
  RowStyle style = top_style(recipe);
  style.stitch_mm = recipe.under_stitch_mm;
  style.past_mm = -recipe.under_inset_mm;
  style.cap_from_mm = std::numeric_limits<double>::infinity();
  style.follow_edge = false;
  return style;
}

double under_spacing(const Recipe& recipe) {
  return recipe.style == Style::cap ? recipe.under_row_mm : recipe.under_row_mm * 0.75;
}

Polyline on_cloth(const Layout& made, const Polyline& points) {
  return geometry::transformed(points, made.to_cloth);
}

void add_piece(std::vector<Piece>& pieces, stitch::Layer layer, Polyline points) {
  if (!pieces.empty() && !points.empty() && pieces.back().points.back() == points.front()) {
    points.erase(points.begin());
  }
  if (!points.empty()) pieces.push_back({layer, std::move(points)});
}

// Travel over cloth and rows of one layer; the first hole is `entry` itself when nothing is sewn
// yet.
void add_runs(const Layout& made, const std::vector<RowRun>& runs, stitch::Layer layer,
              std::vector<Piece>& pieces) {
  for (const RowRun& run : runs) {
    add_piece(pieces, stitch::Layer::travel, on_cloth(made, run.travel));
    add_piece(pieces, layer, on_cloth(made, run.lanes));
  }
}

// The lattice at the crossing angle; ends near where the rows begin.
void add_under(const Polygons& area, double angle, Point entry, Point toward, const Recipe& recipe,
               std::vector<Piece>& pieces) {
  if (geometry::area(area) < kLatticeFromMm2) return;
  const Layout under = layout(area, angle + base::kPi / 2, under_spacing(recipe));
  if (under.rows.spans.empty()) return;
  const Affine to_rows = geometry::inverse(under.to_cloth);
  const RowStyle style = under_style(recipe);
  const RowEnd end = nearest_end(under.rows, under.sections, to_rows(toward), style);
  add_runs(under, sew_sections(under.rows, under.sections, to_rows(entry), end, style),
           stitch::Layer::under, pieces);
}

// Where a stitch would lie over a gap in the outline it is led round it, inside the rows.
void lead_round_gaps(const Layout& made, const stitch::Within& cloth,
                     std::vector<Piece>& pieces) {
  constexpr double kMarginMm = 0.15;
  const Affine to_rows = geometry::inverse(made.to_cloth);
  Point before = pieces.front().points.front();
  for (Piece& piece : pieces) {
    Polyline led;
    for (const Point p : piece.points) {
      if (piece.layer != stitch::Layer::travel && !(before == p) && !cloth.contains(before, p)) {
        const Point a = to_rows(before), b = to_rows(p);
        const int from = span_near(made.rows, a), to = span_near(made.rows, b);
        const Polyline path =
            taut_path(made.rows, span_route(made.sections, from, to), a, b, kMarginMm);
        for (std::size_t i = 1; i + 1 < path.size(); ++i) led.push_back(made.to_cloth(path[i]));
      }
      led.push_back(p);
      before = p;
    }
    piece.points = std::move(led);
  }
}

// Leaves out holes that make a stitch too short without being a row's end: where caps, turns along
// the edge and rows meet. The rows' ends stay, so the outline does.
void join_short(const stitch::Within& cloth, const Recipe& recipe, Polyline& points) {
  Polyline kept;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const bool is_inner = !kept.empty() && i + 1 < points.size();
    if (is_inner && geometry::distance(kept.back(), points[i]) < recipe.shortest_mm) {
      const Point onward = points[i + 1] - points[i];
      const Point arriving = kept.size() > 1 ? kept.back() - kept[kept.size() - 2] : onward;
      const bool is_turn = geometry::dot(arriving, onward) < 0;
      const bool is_tip = i + 2 < points.size() && kept.size() > 1 &&
                          geometry::dot(points[i] - kept.back(), points[i + 2] - points[i + 1]) < 0;
      const bool may_go = cloth.contains(kept.back(), points[i + 1]) &&
                          geometry::distance(kept.back(), points[i + 1]) <= recipe.longest_mm;
      if (!is_turn && !is_tip && may_go) continue;
    }
    kept.push_back(points[i]);
  }
  points = std::move(kept);
}

// Drops holes nearer than 0.25 mm to the one before, wherever two pieces meet.
void keep_apart(std::vector<Piece>& pieces) {
  constexpr double kNearest = 0.25;
  const Point* before = nullptr;
  for (std::size_t k = 0; k < pieces.size(); ++k) {
    Polyline& points = pieces[k].points;
    const bool is_last_piece = k + 1 == pieces.size();
    if (pieces[k].layer != stitch::Layer::lock) {
      while (before != nullptr && !points.empty() &&
             geometry::distance(*before, points.front()) < kNearest &&
             !(is_last_piece && points.size() == 1)) {
        points.erase(points.begin());
      }
    }
    if (!points.empty()) before = &points.back();
  }
  std::erase_if(pieces, [](const Piece& piece) { return piece.points.empty(); });
}

void add_locks(std::vector<Piece>& pieces, const Polygons& outline, const Recipe& recipe,
               const Ties& ties) {
  const auto direction = [](const Polyline& points, bool at_end) {
    if (points.size() < 2) return Point{1, 0};
    return at_end ? points[points.size() - 2] - points.back() : points[1] - points[0];
  };
  if (ties.out) {
    const Polyline& last = pieces.back().points;
    Polyline lock = lock_points(last.back(), direction(last, true), recipe.lock_mm, outline);
    if (!lock.empty()) {
      lock.erase(lock.begin());
      pieces.push_back({stitch::Layer::lock, std::move(lock)});
    }
  }
  if (ties.in) {
    Polyline& first = pieces.front().points;
    Polyline lock = lock_points(first.front(), direction(first, false), recipe.lock_mm, outline);
    if (lock.empty()) return;
    first.erase(first.begin());
    pieces.insert(pieces.begin(), {stitch::Layer::lock, std::move(lock)});
    std::erase_if(pieces, [](const Piece& piece) { return piece.points.empty(); });
  }
}

std::vector<RowEnd> all_ends(const Layout& made) {
  std::vector<RowEnd> ends;
  for (std::size_t s = 0; s < made.sections.list.size(); ++s) {
    for (const bool top : {false, true}) {
      for (const Side side : {Side::left, Side::right}) {
        ends.push_back({static_cast<int>(s), top, side});
      }
    }
  }
  return ends;
}

}  // namespace

double fill_angle(const Polygons& area, const Recipe& recipe) {
  constexpr int kAngles = 36;
  double best = 0;
  std::tuple<std::size_t, int, int> least{~std::size_t{0}, 0, 0};
  for (int k = 0; k < kAngles; ++k) {
    const double angle = k * base::kPi / kAngles;
    const Rows rows = make_rows(area, angle, recipe.row_mm);
    const std::size_t sections = make_sections(rows).list.size();
    const std::tuple<std::size_t, int, int> cost{sections, rows.n_rows, k};
    if (cost < least) least = cost, best = angle;
  }
  return best;
}

std::vector<Way> fill_ways(const Fill& fill, const Recipe& recipe) {
  constexpr std::size_t kMostExits = 6;
  const Polygons area = thread_area(geometry::offset(fill.area, recipe.compensation_mm), recipe);
  const Layout made = layout(area, fill.angle_rad, recipe.row_mm);
  const RowStyle style = top_style(recipe);
  std::vector<Point> places;
  for (const RowEnd& end : all_ends(made)) {
    places.push_back(made.to_cloth(place_of(made.rows, made.sections, end, style)));
  }
  // Well spread: each next one is the farthest from those chosen.
  std::vector<Point> chosen;
  while (chosen.size() < std::min(kMostExits, places.size())) {
    double most = -1;
    Point next;
    for (const Point p : places) {
      double near = chosen.empty() ? p.x + p.y + 1e4 : std::numeric_limits<double>::infinity();
      for (const Point q : chosen) near = std::min(near, geometry::distance(p, q));
      if (near > most) most = near, next = p;
    }
    if (most < 0.5 && !chosen.empty()) break;
    chosen.push_back(next);
  }
  std::vector<Way> ways;
  for (std::size_t i = 0; i < chosen.size(); ++i) {
    for (const std::size_t j : {i, (i + chosen.size() / 2) % chosen.size()}) {
      if (j == i && chosen.size() > 1 && i % 2 == 1) continue;
      ways.push_back({chosen[j], chosen[i], static_cast<int>(ways.size())});
    }
  }
  return ways;
}

std::vector<Piece> sew_fill(const Fill& fill, const Polygons& outline, const Way& way,
                            const Recipe& recipe, const Ties& ties) {
  const Polygons reach =
      outline.empty() ? geometry::offset(fill.area, recipe.compensation_mm) : outline;
  const Polygons area = thread_area(reach, recipe);
  const Layout top = layout(area, fill.angle_rad, recipe.row_mm);
  std::vector<Piece> pieces;
  pieces.push_back({stitch::Layer::travel, {way.entry}});
  if (!top.rows.spans.empty()) {
    const Affine to_rows = geometry::inverse(top.to_cloth);
    const RowStyle style = top_style(recipe);
    const RowEnd end = nearest_end(top.rows, top.sections, to_rows(way.exit), style);
    add_under(area, fill.angle_rad, way.entry, way.entry, recipe, pieces);
    const Point from = to_rows(pieces.back().points.back());
    add_runs(top, sew_sections(top.rows, top.sections, from, end, style), stitch::Layer::top,
             pieces);
  }
  if (geometry::distance(pieces.back().points.back(), way.exit) > 1e-6) {
    add_piece(pieces, stitch::Layer::top, {way.exit});
  }
  const stitch::Within cloth = allowed_cloth(reach, recipe);
  lead_round_gaps(top, cloth, pieces);
  for (Piece& piece : pieces) {
    if (piece.layer == stitch::Layer::top) join_short(cloth, recipe, piece.points);
  }
  keep_apart(pieces);
  add_locks(pieces, reach, recipe, ties);
  return pieces;
}

}  // namespace buckram::digitise
