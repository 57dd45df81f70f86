#include "digitise/fill_layout.h"

#include <array>

namespace buckram::digitise {

using geometry::Point;
using geometry::Polygons;

namespace {

constexpr double kPastMm = 0.06;     // rows are drawn out so far: see lanes_of
constexpr double kCapFromMm = 0.08;  // less is covered by the row beside it
constexpr double kCrumbMm2 = 0.05;   // parts that a single thread's dot would fill

Polygons without_crumbs(const Polygons& polygons) {
  Polygons out;
  for (const geometry::Polygon& p : polygons)
    if (geometry::area(p) >= kCrumbMm2) out.push_back(p);
  return out.empty() ? polygons : out;
}

// The outline half a thread further in, in one piece.
Polygons thread_middles(const Polygons& outline, const Recipe& recipe) {
  for (const double share : std::array{1.0, 0.8, 0.6, 0.4, 0.2, 0.05}) {
    const Polygons inner = without_crumbs(geometry::offset(outline, -recipe.thread_mm / 2 * share));
    if (inner.size() == 1) return inner;
  }
  return outline;
}

}  // namespace

Layout make_layout(const Fill& fill, const Polygons& outline, const Recipe& recipe) {
  Layout layout;
  layout.outline = outline.empty() ? geometry::offset(fill.area, recipe.compensation_mm) : outline;
  layout.rows = make_rows(thread_middles(layout.outline, recipe), fill.angle_rad, recipe.row_mm);
  layout.sections = make_sections(layout.rows);
  return layout;
}

std::vector<Lane> lanes_of(const Layout& layout, int section) {
  return lanes_of(layout.rows, layout.sections.list[section], kPastMm, kCapFromMm);
}

Lane valley_lane(const Layout& layout, int crossing, int span) {
  return valley_lane(layout.rows, crossing, span, kCapFromMm);
}

Finish nearest_finish(const Layout& layout, Point p) {
  Finish best;
  double best_distance = 1e300;
  const auto look = [&](const Lane& lane, int section, Side side) {
    const Point at = end_of(lane, side);
    const double d = geometry::distance(at, p);
    if (d < best_distance) best_distance = d, best = {section, lane.span, lane.is_cap, side, at};
  };
  for (std::size_t s = 0; s < layout.sections.list.size(); ++s)
    for (const Lane& lane : lanes_of(layout, static_cast<int>(s)))
      for (const Side side : {Side::left, Side::right}) look(lane, static_cast<int>(s), side);
  return best;
}

LastPart cut_at(Layout& layout, const Finish& finish) {
  Sections& sections = layout.sections;
  const int s = finish.section;
  const int at = sections.place_in[finish.span];
  const int n = static_cast<int>(sections.list[s].spans.size());
  if (finish.on_cap) {
    const bool top = sections.list[s].open_top && at == n - 1 &&
                     finish.at.y > layout.rows.y(layout.rows.spans[finish.span].row);
    return {s, top};
  }
  const std::vector<Lane> lanes = lanes_of(layout, s);
  const bool cap_below = lanes.front().is_cap, cap_above = lanes.back().is_cap;
  if (at == 0 && !cap_below) return {s, false};
  if (at == n - 1 && (!cap_above || n == 1)) return {s, true};
  // the shorter part comes last: the way under it to its far end is shorter
  const bool lower_last = at == 0 || (at < n - 1 && at + 1 <= n - at);
  if (lower_last) {
    cut_section(sections, s, at + 1);
    return {s, true};
  }
  cut_section(sections, s, at);
  return {static_cast<int>(sections.list.size()) - 1, false};
}

}  // namespace buckram::digitise
