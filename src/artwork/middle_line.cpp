#include "artwork/middle_line.h"

#include <algorithm>

namespace buckram::artwork {
namespace {

// A piece shorter than its stroke is wide tells nothing about a direction.
bool is_worth_keeping(const geometry::Polyline& line, double width) {
  return line.size() > 1 && geometry::length(line) > width;
}

// The cut of a closed line runs through its first point: the last piece and the first are one.
void rejoin(std::vector<geometry::Polyline>& pieces, geometry::Point start) {
  if (pieces.size() < 2 || !(pieces.front().front() == start) || !(pieces.back().back() == start))
    return;
  geometry::Polyline joined = std::move(pieces.back());
  joined.insert(joined.end(), pieces.front().begin() + 1, pieces.front().end());
  pieces.front() = std::move(joined);
  pieces.pop_back();
}

}  // namespace

std::vector<MiddleLine> whole_parts(const std::vector<MiddleLine>& lines,
                                    const geometry::Polygons& before,
                                    const geometry::Polygons& after) {
  if (lines.empty()) return {};
  const geometry::Polygons lost = geometry::subtract(before, after);
  // A share of a per cent is rounding at the outline.
  if (geometry::area(lost) < 0.002 * geometry::area(before)) return lines;
  std::vector<MiddleLine> kept;
  for (const MiddleLine& line : lines) {
    const geometry::Polygons free = geometry::subtract(
        after, geometry::offset(lost, 0.48 * line.width, geometry::Join::round, 0.02 * line.width));
    geometry::Polyline open = line.line;
    if (line.closed) open.push_back(open.front());
    auto pieces = geometry::clip(open, free);
    if (line.closed && pieces.size() == 1 && pieces.front() == open) {
      kept.push_back(line);
      continue;
    }
    if (line.closed) rejoin(pieces, open.front());
    for (geometry::Polyline& piece : pieces)
      if (is_worth_keeping(piece, line.width))
        kept.push_back({std::move(piece), line.width, false});
  }
  return kept;
}

}  // namespace buckram::artwork
