#include "digitise/fill_lanes.h"

#include <algorithm>
#include <cmath>

namespace buckram::digitise {

using geometry::Point;
using geometry::Polyline;

namespace {

// What is left of the line where it lies at least `depth_mm` from the height y.
Polyline beyond(const Polyline& line, double y, double depth_mm) {
  const auto deep = [&](Point p) { return std::abs(p.y - y) >= depth_mm; };
  const auto edge = [&](Point a, Point b) {
    const double da = std::abs(a.y - y), db = std::abs(b.y - y);
    return geometry::mix(a, b, (depth_mm - da) / (db - da));
  };
  std::size_t first = 0, last = line.size();
  while (first < line.size() && !deep(line[first])) ++first;
  while (last > first && !deep(line[last - 1])) --last;
  if (first == last) return {};
  Polyline out;
  if (first > 0) out.push_back(edge(line[first - 1], line[first]));
  out.insert(out.end(), line.begin() + static_cast<std::ptrdiff_t>(first),
             line.begin() + static_cast<std::ptrdiff_t>(last));
  if (last < line.size()) out.push_back(edge(line[last], line[last - 1]));
  return out;
}

// The flanks that climb to a cap belong to the turns, not to the cap.
Polyline without_flanks(Polyline line) {
  const auto steep = [](Point a, Point b) { return std::abs(b.y - a.y) > std::abs(b.x - a.x); };
  std::size_t first = 0, last = line.size();
  while (first + 2 < last && steep(line[first], line[first + 1])) ++first;
  while (last > first + 2 && steep(line[last - 2], line[last - 1])) --last;
  return Polyline(line.begin() + static_cast<std::ptrdiff_t>(first),
                  line.begin() + static_cast<std::ptrdiff_t>(last));
}

// The part of a chain beyond a row that the row and the turns leave bare; from left to right.
Polyline bare_part(const Rows& rows, int crossing, double y, double from_mm) {
  constexpr double kFollowMm = 0.03;  // how closely a cap follows the outline
  constexpr double kFromDepth = 0.3;  // share of the cap's height below which turns cover it
  Polyline line = chain(rows, crossing);
  double depth = 0;
  for (Point p : line) depth = std::max(depth, std::abs(p.y - y));
  if (depth < from_mm) return {};
  line = without_flanks(geometry::simplify(beyond(line, y, kFromDepth * depth), kFollowMm));
  if (line.size() < 2) return {};
  if (line.front().x > line.back().x) std::reverse(line.begin(), line.end());
  return line;
}

void add_cap(const Rows& rows, int span, bool top, double cap_from_mm, std::vector<Lane>& lanes) {
  const RowSpan& row = rows.spans[span];
  Polyline line = bare_part(rows, top ? row.right : row.left, rows.y(row.row), cap_from_mm);
  if (!line.empty()) lanes.push_back({std::move(line), span, true, -1});
}

}  // namespace

std::vector<Lane> lanes_of(const Rows& rows, const Section& section, double past_mm,
                           double cap_from_mm) {
  std::vector<Lane> lanes;
  lanes.reserve(section.spans.size() + 2);
  if (section.open_bottom) add_cap(rows, section.spans.front(), false, cap_from_mm, lanes);
  for (int s : section.spans) {
    const RowSpan& row = rows.spans[s];
    const double y = rows.y(row.row);
    lanes.push_back({{{row.x0 - past_mm, y}, {row.x1 + past_mm, y}}, s, false, -1});
  }
  if (section.open_top) add_cap(rows, section.spans.back(), true, cap_from_mm, lanes);
  return lanes;
}

Point end_of(const Lane& lane, Side side) {
  return side == Side::left ? lane.path.front() : lane.path.back();
}

int valley_beside(const Rows& rows, int span, bool top, Side side) {
  const RowSpan& row = rows.spans[span];
  // above a row chains run from right ends to left ends, below it the other way
  const bool begins_here = top == (side == Side::right);
  const int own = side == Side::right ? row.right : row.left;
  const int c = begins_here ? own : rows.crossings[own].prev;
  const Crossing &from = rows.crossings[c], &to = rows.crossings[from.next];
  if (from.rising != top || to.rising == top || from.row != to.row || from.span == to.span)
    return -1;
  return c;
}

Lane valley_lane(const Rows& rows, int crossing, int span, double from_mm) {
  Polyline line = bare_part(rows, crossing, rows.y(rows.spans[span].row), from_mm);
  std::reverse(line.begin(), line.end());
  const Crossing& from = rows.crossings[crossing];
  const int far = from.span == span ? rows.crossings[from.next].span : from.span;
  return {std::move(line), span, true, far};
}

Polyline edge_between(const Rows& rows, const Lane& low, const Lane& high, Side side) {
  if (low.is_cap || high.is_cap) return {};
  const RowSpan &a = rows.spans[low.span], &b = rows.spans[high.span];
  const int from = side == Side::right ? a.right : b.left;
  const int to = side == Side::right ? b.right : a.left;
  if (rows.crossings[from].next != to) return {};
  Polyline line = chain(rows, from);
  if (side == Side::left) std::reverse(line.begin(), line.end());
  line.erase(line.begin());
  line.pop_back();
  return line;
}

}  // namespace buckram::digitise
