#include "digitise/fill.h"

#include "base/base.h"
#include "digitise/fill_layout.h"
#include "digitise/fill_order.h"
#include "digitise/fill_sew.h"
#include "digitise/fill_travel.h"
#include "digitise/lock.h"
#include "digitise/under.h"

#include <algorithm>
#include <array>
#include <iterator>

namespace buckram::digitise {

using geometry::Point;
using geometry::Polyline;
using stitch::Layer;

namespace {

constexpr double kTravelMarginMm = 0.45;  // from row ends, so that they hide it
constexpr double kLeastMm = 0.25;         // between penetrations of two pieces

// The thread as it grows; everything in the cloth's frame.
struct Thread {
  std::vector<Piece> pieces;
  std::vector<char> sewn;     // sections
  std::vector<char> valleys;  // sewn, by the crossing they begin at

  bool empty() const { return pieces.empty(); }
  Point last() const { return pieces.back().points.back(); }
  void put(Layer layer, Point p) {
    if (empty() || pieces.back().layer != layer) pieces.push_back({layer, {}});
    pieces.back().points.push_back(p);
  }
  void put(Layer layer, const Polyline& points, double shortest_mm = kLeastMm) {
    const double least = goes_straight_on(layer, points) ? shortest_mm : kLeastMm;
    for (std::size_t i = 0; i < points.size(); ++i) {
      const bool too_near = i == 0 && !empty() && geometry::distance(last(), points[0]) < least;
      if (!too_near) put(layer, points[i]);
    }
  }
  // Whether rows follow on rows without a turn: there no stitch may be short.
  bool goes_straight_on(Layer layer, const Polyline& points) const {
    if (empty() || pieces.back().layer != layer || points.size() < 3) return false;
    const Polyline& before = pieces.back().points;
    return before.size() >= 2 &&
           geometry::dot(last() - before[before.size() - 2], points[1] - points[0]) >= 0;
  }
};

struct Frame {
  geometry::Affine to_cloth, to_rows;
};

// Travel from where the thread is to `to`, which itself is left to what comes next.
void travel(const Layout& layout, const Frame& frame, int from_span, int to_span, Point to,
            const Recipe& recipe, Thread& thread) {
  const Polyline path = taut_path(
      layout.rows, span_route(layout.rows, layout.sections, from_span, to_span, thread.sewn),
      frame.to_rows(thread.last()), frame.to_rows(to), kTravelMarginMm);
  Polyline stitches = travel_stitches(path, recipe.run_mm, recipe.shortest_mm);
  if (!stitches.empty()) stitches.pop_back();
  thread.put(Layer::travel, geometry::transformed(stitches, frame.to_cloth));
}

void sew_under(const Fill& fill, const Layout& layout, const Frame& frame, const Recipe& recipe,
               Thread& thread) {
  std::vector<UnderLine> lines = under_lines(fill, recipe);
  // edge runs first; within a kind the nearest next
  const auto nearness = [&](const UnderLine& line) {
    double best = 1e300;
    for (Point p : line.path) best = std::min(best, geometry::distance(p, thread.last()));
    return best;
  };
  while (!lines.empty()) {
    std::size_t best = 0;
    double best_distance = 1e300;
    for (std::size_t i = 0; i < lines.size() && lines[i].closed == lines[0].closed; ++i) {
      const double d = nearness(lines[i]);
      if (d < best_distance) best_distance = d, best = i;
    }
    const Polyline points = sewn_from(lines[best], thread.last(), recipe);
    travel(layout, frame, span_near(layout.rows, frame.to_rows(thread.last())),
           span_near(layout.rows, frame.to_rows(points.front())), points.front(), recipe, thread);
    thread.put(Layer::under, points);
    lines.erase(lines.begin() + static_cast<std::ptrdiff_t>(best));
  }
}

// A section about to be sewn.
struct Stretch {
  std::vector<Lane> lanes;  // in the order sewn
  bool upward = true;
  Side start = Side::left;

  Side end() const { return lanes.size() % 2 == 1 ? other(start) : start; }
};

// The valley that the stretch passes at its first or its last row; -1: none, or sewn already.
int valley_at(const Layout& layout, const Thread& thread, const Stretch& s, bool first) {
  const Lane& lane = first ? s.lanes.front() : s.lanes.back();
  if (lane.is_cap) return -1;
  const int c = valley_beside(layout.rows, lane.span, s.upward != first, first ? s.start : s.end());
  return c >= 0 && !thread.valleys[c] ? c : -1;
}

// The side to begin a section on: what makes the way in and the way on shortest, and passes
// valleys.
Side better_side(const Layout& layout, const Frame& frame, const Thread& thread, Stretch s,
                 int onward_span) {
  constexpr double kValleyWorthMm = 4;
  const RowSpan& on = layout.rows.spans[onward_span];
  const Point at = frame.to_rows(thread.last());
  const auto cost = [&](Side start) {
    s.start = start;
    const Point out = end_of(s.lanes.back(), s.end());
    const double past = std::max({0.0, on.x0 - out.x, out.x - on.x1});
    const int valleys =
        (valley_at(layout, thread, s, true) >= 0) + (valley_at(layout, thread, s, false) >= 0);
    return geometry::distance(at, end_of(s.lanes.front(), start)) + past - valleys * kValleyWorthMm;
  };
  return cost(Side::left) <= cost(Side::right) ? Side::left : Side::right;
}

// Puts valleys before the first and after the last lane where the thread passes them.
void add_valleys(const Layout& layout, bool may_go_on, Stretch& s, Thread& thread) {
  const int before = valley_at(layout, thread, s, true);
  const int after = may_go_on ? valley_at(layout, thread, s, false) : -1;
  if (after >= 0 && after != before) {
    Lane lane = valley_lane(layout, after, s.lanes.back().span);
    thread.valleys[after] = 1;
    if (!lane.path.empty()) s.lanes.push_back(std::move(lane));
  }
  if (before >= 0) {
    Lane lane = valley_lane(layout, before, s.lanes.front().span);
    thread.valleys[before] = 1;
    if (lane.path.empty()) return;
    s.lanes.insert(s.lanes.begin(), std::move(lane));
    s.start = other(s.start);
  }
}

void sew_rows(const Layout& layout, const Frame& frame, const std::vector<Visit>& order,
              Side finish, const Recipe& recipe, Thread& thread) {
  int at_span = span_near(layout.rows, frame.to_rows(thread.last()));
  for (const Visit& visit : order) {
    Stretch s{lanes_of(layout, visit.section), visit.upward, finish};
    if (!visit.upward) std::reverse(s.lanes.begin(), s.lanes.end());
    const bool is_last = visit.onward_span < 0;
    if (is_last)
      s.start = s.end();  // lanes.size() steps back from the finish
    else
      s.start = better_side(layout, frame, thread, s, visit.onward_span);
    add_valleys(layout, !is_last, s, thread);
    const Polyline points =
        geometry::transformed(sew_lanes(layout.rows, s.lanes, s.start, recipe), frame.to_cloth);
    travel(layout, frame, at_span, s.lanes.front().outer_span(), points.front(), recipe, thread);
    thread.put(Layer::top, points, recipe.shortest_mm);
    thread.sewn[visit.section] = 1;
    at_span = s.lanes.back().outer_span();
  }
}

void finish_at(Point exit, const Recipe& recipe, Thread& thread) {
  Piece& piece = thread.pieces.back();
  const double d = geometry::distance(thread.last(), exit);
  if (d < kLeastMm && piece.points.size() > 1) {
    piece.points.back() = exit;
    return;
  }
  if (d <= 0) return;
  for (Point p : travel_stitches({thread.last(), exit}, recipe.fill_stitch_mm, recipe.shortest_mm))
    thread.put(Layer::top, p);
  if (!(thread.last() == exit)) thread.put(Layer::top, exit);
}

// What is too small for rows: a stitch or two.
std::vector<Piece> sew_speck(const Way& way, const Recipe& recipe) {
  Thread thread;
  thread.put(Layer::top, way.entry);
  finish_at(way.exit, recipe, thread);
  return thread.pieces;
}

void lock_in(const geometry::Polygons& room, Point at, Point towards, const Recipe& recipe,
             Thread& thread) {
  Polyline lock = lock_points(at, towards - at, recipe.lock_mm, room);
  if (lock.empty()) return thread.put(Layer::travel, at);
  for (Point p : lock) thread.put(Layer::lock, p);
}

void lock_out(const geometry::Polygons& room, const Recipe& recipe, Thread& thread) {
  const Polyline& points = thread.pieces.back().points;
  const Point at = thread.last();
  const Point before = points.size() > 1 ? points[points.size() - 2] : at;
  const Polyline lock = lock_points(at, before - at, recipe.lock_mm, room);
  for (std::size_t i = 1; i < lock.size(); ++i) thread.put(Layer::lock, lock[i]);
}

double angle_cost(const geometry::Polygons& area, double angle_rad, double spacing_mm) {
  const Rows rows = make_rows(area, angle_rad, spacing_mm);
  const Sections sections = make_sections(rows);
  double along = 0, all = 0;
  for (const geometry::Ring& ring : rows.rings)
    for (std::size_t i = 0; i < ring.size(); ++i) {
      const Point d = ring[(i + 1) % ring.size()] - ring[i];
      const double length = geometry::norm(d), lean = std::abs(d.y) / std::max(length, 1e-12);
      all += length;
      // 2 to 20 degrees off the rows: long wedges at the row ends
      if (lean > 0.035 && lean < 0.342) along += length;
    }
  const double height = rows.spacing_mm * (rows.n_rows + 1);
  const double size = std::sqrt(std::max(geometry::area(area), 1e-9));
  return static_cast<double>(sections.list.size()) + 1.5 * along / std::max(all, 1e-9) +
         0.1 * height / size;
}

// ---- rows that bend: laid flat, carried back ---------------------------------------------------

std::vector<Way> bent_ways(const Fill& fill, const Recipe& recipe) {
  const Bend& bend = *fill.bend;
  const Fill flat{bend.for_rows(fill.area), 0, nullptr};
  std::vector<Way> ways = fill_ways(flat, flat_recipe(bend, flat.area, recipe));
  for (Way& way : ways) way.entry = bend.to_cloth(way.entry), way.exit = bend.to_cloth(way.exit);
  return ways;
}

std::vector<Piece> sew_bent(const Fill& fill, const geometry::Polygons& outline, const Way& way,
                            const Recipe& recipe, const Ties& ties) {
  const Bend& bend = *fill.bend;
  const Fill flat{bend.for_rows(fill.area), 0, nullptr};
  const Way flat_way{bend.to_flat(way.entry), bend.to_flat(way.exit), way.tag};
  std::vector<Piece> pieces = sew_fill(flat, bend.for_rows(outline), flat_way,
                                       flat_recipe(bend, flat.area, recipe), {false, false});
  for (Piece& piece : pieces) {
    for (Point& p : piece.points) p = bend.to_cloth(p);
  }
  // Locks are laid on the cloth: carried back they would be drawn out or pressed with the rows.
  const geometry::Polygons cloth =
      outline.empty() ? geometry::offset(fill.area, recipe.compensation_mm) : outline;
  const geometry::Polygons room = geometry::offset(cloth, -recipe.thread_mm / 4);
  Thread thread;
  if (ties.in) {
    Polyline& first = pieces.front().points;
    lock_in(room, first.front(), geometry::bounds(cloth).middle(), recipe, thread);
    first.erase(first.begin());
    if (first.empty()) pieces.erase(pieces.begin());
  }
  thread.pieces.insert(thread.pieces.end(), std::make_move_iterator(pieces.begin()),
                       std::make_move_iterator(pieces.end()));
  if (ties.out) lock_out(room, recipe, thread);
  return thread.pieces;
}

}  // namespace

double fill_angle(const geometry::Polygons& area, const Recipe& recipe) {
  constexpr int kAngles = 36;
  const geometry::Polygons plain = geometry::simplify(area, 0.1);
  double best = 0, best_cost = 1e300;
  for (int i = 0; i < kAngles; ++i) {
    const double angle = i * base::kPi / kAngles;
    const double cost = angle_cost(plain, angle, 2 * recipe.row_mm);
    if (cost < best_cost - 1e-9) best_cost = cost, best = angle;
  }
  return best;
}

std::vector<Way> fill_ways(const Fill& fill, const Recipe& recipe) {
  if (fill.bend) return bent_ways(fill, recipe);
  const Layout layout = make_layout(fill, {}, recipe);
  const geometry::Affine to_cloth = geometry::rotation(layout.rows.angle_rad);
  if (layout.rows.spans.empty()) {
    const Point middle = geometry::bounds(fill.area).middle();
    return {{middle, middle, 0}};
  }
  geometry::Box box;
  for (const geometry::Ring& ring : layout.rows.rings)
    for (Point p : ring) box.add(p);
  std::vector<Point> ends;
  const std::array corners{Point{box.x0, box.y0}, Point{box.x1, box.y0}, Point{box.x1, box.y1},
                           Point{box.x0, box.y1}};
  for (Point corner : corners) {
    const Point at = to_cloth(nearest_finish(layout, corner).at);
    if (std::find(ends.begin(), ends.end(), at) == ends.end()) ends.push_back(at);
  }
  std::vector<Way> ways;
  for (Point exit : ends)
    for (Point entry : ends)
      if (ends.size() == 1 || !(entry == exit)) ways.push_back({entry, exit, 0});
  return ways;
}

std::vector<Piece> sew_fill(const Fill& fill, const geometry::Polygons& outline, const Way& way,
                            const Recipe& recipe, const Ties& ties) {
  if (fill.bend) return sew_bent(fill, outline, way, recipe, ties);
  Layout layout = make_layout(fill, outline, recipe);
  if (layout.rows.spans.empty()) return sew_speck(way, recipe);
  const Frame frame{geometry::rotation(layout.rows.angle_rad),
                    geometry::rotation(-layout.rows.angle_rad)};
  const Finish finish = nearest_finish(layout, frame.to_rows(way.exit));
  const LastPart last = cut_at(layout, finish);
  const int first = layout.sections.of_span[span_near(layout.rows, frame.to_rows(way.entry))];
  const std::vector<Visit> order =
      sewing_order(layout.sections, last.section, last.ends_at_top, first);

  Thread thread;
  thread.sewn.assign(layout.sections.list.size(), 0);
  thread.valleys.assign(layout.rows.crossings.size(), 0);
  const geometry::Polygons room = geometry::offset(layout.outline, -recipe.thread_mm / 4);
  if (ties.in)
    lock_in(room, way.entry, geometry::bounds(layout.outline).middle(), recipe, thread);
  else
    thread.put(Layer::travel, way.entry);
  sew_under(fill, layout, frame, recipe, thread);
  sew_rows(layout, frame, order, finish.side, recipe, thread);
  finish_at(way.exit, recipe, thread);
  if (ties.out) lock_out(room, recipe, thread);
  return thread.pieces;
}

}  // namespace buckram::digitise
