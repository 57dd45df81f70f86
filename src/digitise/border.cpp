#include "digitise/border.h"

#include "digitise/column.h"

#include <algorithm>
#include <utility>

namespace buckram::digitise {

using geometry::Point;

namespace {

constexpr double kTooth = 0.067;    // in place of kScallop
constexpr double kBeyondMm = 0.15;  // past the thread's edge: whose colour is there?

}  // namespace

geometry::Polygons other_colours(const artwork::Regions& regions, std::size_t region) {
  const artwork::Region& own = regions.regions[region];
  const geometry::Box box = geometry::bounds(own.sewn);
  geometry::Polygons others;
  for (const artwork::Region& other : regions.regions) {
    if (other.thread == own.thread) continue;
    for (const geometry::Polygon& polygon : other.visible)
      if (box.meets(geometry::bounds(polygon.outer), 1)) others.push_back(polygon);
  }
  return others;
}

void draw_in_at_border(Column& column, const stitch::Within& others, const Recipe& recipe) {
  const double in_mm = (kScallop - kTooth) * recipe.thread_mm;
  const double beyond_mm = recipe.thread_mm / 2 + kBeyondMm;
  for (Rung& rung : column.rungs) {
    const double width = geometry::distance(rung.left, rung.right);
    if (width < recipe.shortest_mm + 2 * in_mm) continue;
    const Point across = geometry::unit(rung.right - rung.left);
    const bool left = others.contains(rung.left - across * beyond_mm);
    const bool right = others.contains(rung.right + across * beyond_mm);
    if (left) rung.left = rung.left + across * in_mm;
    if (right) rung.right = rung.right - across * in_mm;
  }
}

}  // namespace buckram::digitise
