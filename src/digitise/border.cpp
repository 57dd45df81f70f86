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

geometry::Polygons other_colours(const artwork::Regions& regions, std::size_t region,
                                 const geometry::Box& box, double near_mm, std::size_t from) {
  geometry::Polygons others;
  for (std::size_t k = from; k < regions.regions.size(); ++k) {
    const artwork::Region& other = regions.regions[k];
    if (other.thread == regions.regions[region].thread) continue;
    for (const geometry::Polygon& polygon : other.visible)
      if (box.meets(geometry::bounds(polygon.outer), near_mm)) others.push_back(polygon);
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
