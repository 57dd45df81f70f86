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

void add_cap(const Rows& rows, int span, bool top, double cap_from_mm, std::vector<Lane>& lanes) {
  constexpr double kFollowMm = 0.03;  // how closely a cap follows the outline
  constexpr double kFromDepth = 0.3;  // share of the cap's height below which turns cover it
  const RowSpan& row = rows.spans[span];
  Polyline line = chain(rows, top ? row.right : row.left);
  if (top) std::reverse(line.begin(), line.end());
  double depth = 0;
  for (Point p : line) depth = std::max(depth, std::abs(p.y - rows.y(row.row)));
  if (depth < cap_from_mm) return;
  line = without_flanks(
      geometry::simplify(beyond(line, rows.y(row.row), kFromDepth * depth), kFollowMm));
  if (line.size() < 2) return;
  lanes.push_back({std::move(line), span, true});
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
    lanes.push_back({{{row.x0 - past_mm, y}, {row.x1 + past_mm, y}}, s, false});
  }
  if (section.open_top) add_cap(rows, section.spans.back(), true, cap_from_mm, lanes);
  return lanes;
}

Point end_of(const Lane& lane, Side side) {
  return side == Side::left ? lane.path.front() : lane.path.back();
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
