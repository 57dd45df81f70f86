#include "artwork/underlap.h"

#include <algorithm>

namespace buckram::artwork {
namespace {

using geometry::Box;
using geometry::Polygon;
using geometry::Polygons;

// Two areas cut along the same line may leave cracks of a grid step between them.
constexpr double kCrackMm = 10 * geometry::kGridMm;
// Outlines are thinned to this before they are grown by millimetres and shrunk again.
constexpr double kCoarseMm = 0.02;

double mean_width(const geometry::Ring& ring) {
  return geometry::mean_width({geometry::area(ring) < 0 ? geometry::reversed(ring) : ring, {}});
}

// Holes and pieces that are only cracks.
void close_cracks(Polygons& polygons) {
  const auto is_crack = [](const geometry::Ring& ring) { return mean_width(ring) < 2 * kCrackMm; };
  for (Polygon& polygon : polygons) std::erase_if(polygon.holes, is_crack);
  std::erase_if(polygons, [&](const Polygon& polygon) { return is_crack(polygon.outer); });
}

// The parts of later regions near to region i.
Polygons later_parts(const std::vector<Region>& regions, const std::vector<Box>& boxes,
                     std::size_t i, double near_mm) {
  Polygons later;
  for (std::size_t j = i + 1; j < regions.size(); ++j) {
    if (!boxes[i].meets(boxes[j], near_mm)) continue;
    for (const Polygon& polygon : regions[j].visible)
      if (boxes[i].meets(geometry::bounds(polygon.outer), near_mm)) later.push_back(polygon);
  }
  return later;
}

// Morphological closing: what no disc of `width_mm` reaches without meeting the polygons.
Polygons narrow_gaps_closed(const Polygons& polygons, double width_mm) {
  const Polygons coarse = geometry::simplify(polygons, kCoarseMm);
  return geometry::offset(geometry::offset(coarse, width_mm / 2), -width_mm / 2);
}

}  // namespace

void grow_under(std::vector<Region>& regions, const RegionOptions& options) {
  std::vector<Box> boxes;
  for (const Region& region : regions) boxes.push_back(geometry::bounds(region.visible));
  for (std::size_t i = 0; i < regions.size(); ++i) {
    const Polygons& visible = regions[i].visible;
    regions[i].sewn = visible;
    if (options.underlap_mm <= 0) continue;
    const Polygons later = later_parts(regions, boxes, i, options.underlap_mm);
    if (later.empty()) continue;
    Polygons reach = geometry::offset(visible, options.underlap_mm);
    if (options.run_under_mm > 0)
      reach = geometry::unite(reach, narrow_gaps_closed(visible, options.run_under_mm));
    const Polygons under = geometry::intersect(reach, later);
    if (under.empty()) continue;
    // A hair wider than it is, so that it overlaps the visible part it grows from. What lies beyond
    // a strip of something else grows from none.
    Polygons grown = geometry::offset(under, kCrackMm, geometry::Join::miter);
    std::erase_if(grown, [&](const Polygon& piece) {
      return geometry::intersect({piece}, visible).empty();
    });
    regions[i].sewn = geometry::unite(visible, grown);
    close_cracks(regions[i].sewn);
  }
}

}  // namespace buckram::artwork
