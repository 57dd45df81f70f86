#include "artwork/regions.h"

#include "artwork/arrangement.h"
#include "artwork/joining.h"
#include "artwork/middle_line.h"
#include "artwork/palette.h"
#include "artwork/underlap.h"

#include <algorithm>
#include <utility>

namespace buckram::artwork {
namespace {

using geometry::Box;
using geometry::Polygon;
using geometry::Polygons;

// Narrower than this a visible part is what is left between two outlines that were meant to meet.
constexpr double kSliverMm = 0.05;

Polygons on_grid(const Polygons& polygons) {
  return geometry::unite({polygons});
}

std::vector<Painted> place_all(const Drawing& drawing, const geometry::Affine& placement) {
  std::vector<Painted> all;
  for (const Shape& shape : drawing.shapes) {
    Painted painted;
    // The map may turn outlines round (y points down in artwork); a union puts them on the grid
    // that all that follows shares.
    painted.area = on_grid(geometry::transformed(shape.area, placement));
    painted.box = geometry::bounds(painted.area);
    painted.source = shape.source;
    all.push_back(std::move(painted));
  }
  return all;
}

// Takes off what is too thin to have been meant: hairlines that a later shape's outline left. A
// shape that nothing covers is as its author drew it and stays, however thin.
Polygons without_remnants(const Polygons& shows, const Polygons& whole, double least_area_mm2) {
  if (shows.empty()) return shows;
  Polygons kept = shows;
  if (geometry::area(shows) < geometry::area(whole) - least_area_mm2) {
    const bool is_thin_anyway = std::all_of(whole.begin(), whole.end(), [](const Polygon& p) {
      return geometry::mean_width(p) < 2 * kSliverMm;
    });
    if (!is_thin_anyway) return geometry::without_slivers(shows, kSliverMm, least_area_mm2);
  }
  std::erase_if(kept, [&](const Polygon& p) { return geometry::area(p) < least_area_mm2; });
  return kept;
}

std::vector<MiddleLine> placed_lines(const Shape& shape, const geometry::Affine& placement) {
  std::vector<MiddleLine> lines = shape.middle_lines;
  for (MiddleLine& each : lines) {
    each.line = geometry::transformed(each.line, placement);
    each.width *= geometry::mean_scale(placement);
  }
  return lines;
}

// The area of shapes that are sewn as one. Hairlines between those that only meet are closed.
Painted united(const std::vector<Painted>& all, const Joined& joined) {
  const Painted& first = all[static_cast<std::size_t>(joined.members.front())];
  if (joined.members.size() == 1) return first;
  std::vector<Polygons> areas;
  for (const int member : joined.members)
    areas.push_back(all[static_cast<std::size_t>(member)].area);
  Painted painted{geometry::unite(areas), {}, first.source};
  if (joined.is_abutting) {
    const Polygons grown = geometry::offset(painted.area, kSliverMm / 2, geometry::Join::miter);
    painted.area = geometry::offset(grown, -kSliverMm / 2, geometry::Join::miter);
  }
  painted.box = geometry::bounds(painted.area);
  return painted;
}

// What of each stroke's middle line shows whole, beneath the groups painted after `group`.
std::vector<MiddleLine> shown_lines(const Drawing& drawing, const geometry::Affine& placement,
                                    const std::vector<Painted>& all, const Joined& joined,
                                    const std::vector<Painted>& groups, std::size_t group) {
  std::vector<MiddleLine> shown;
  for (const int member : joined.members) {
    const auto at = static_cast<std::size_t>(member);
    const auto lines = placed_lines(drawing.shapes[at], placement);
    if (lines.empty()) continue;
    Polygons over;
    for (std::size_t g = group + 1; g < groups.size(); ++g)
      if (groups[g].box.meets(all[at].box))
        over.insert(over.end(), groups[g].area.begin(), groups[g].area.end());
    const auto whole =
        over.empty() ? lines
                     : whole_parts(lines, all[at].area, geometry::subtract(all[at].area, over));
    shown.insert(shown.end(), whole.begin(), whole.end());
  }
  return shown;
}

}  // namespace

geometry::Affine placement_matrix(const Drawing& drawing, const Placement& placement) {
  const geometry::Point middle = drawing.painted.middle();
  const double k = placement.scale;
  return {k, 0, 0, -k, placement.middle.x - k * middle.x, placement.middle.y + k * middle.y};
}

Regions visible_regions(const Drawing& drawing, const geometry::Affine& placement,
                        const std::vector<Thread>& threads, const RegionOptions& options) {
  Regions result;
  result.placement = placement;
  WorkLimit work;
  const std::vector<Painted> all = place_all(drawing, placement);
  const std::vector<Polygons> shows = what_shows(all, work);
  std::vector<PaletteShare> shares;
  for (std::size_t i = 0; i < all.size(); ++i) {
    const double area_mm2 = geometry::area(shows[i]);
    shares.push_back({drawing.shapes[i].colour, area_mm2 < options.least_area_mm2 ? 0 : area_mm2,
                      all[i].source});
  }
  Palette palette = choose_threads(shares, threads, options);
  result.threads = std::move(palette.threads);
  result.notes = std::move(palette.notes);

  const std::vector<Joined> joined = join_shapes(all, palette.thread_of);
  std::vector<Painted> groups;
  for (const Joined& each : joined) groups.push_back(united(all, each));
  const std::vector<Polygons> visible = what_shows(groups, work);
  for (std::size_t g = 0; g < groups.size(); ++g) {
    Region region;
    region.visible = without_remnants(visible[g], groups[g].area, options.least_area_mm2);
    if (region.visible.empty()) continue;
    const auto first = static_cast<std::size_t>(joined[g].members.front());
    region.drawn = groups[g].area;
    region.thread = palette.thread_of[first];
    region.order = static_cast<int>(result.regions.size());
    region.colour = drawing.shapes[first].colour;
    region.source = all[first].source;
    for (const int member : joined[g].members) {
      const std::string& source = all[static_cast<std::size_t>(member)].source;
      if (source != region.source && (region.joined.empty() || source != region.joined.back()))
        region.joined.push_back(source);
    }
    region.middle_lines = shown_lines(drawing, placement, all, joined[g], groups, g);
    result.box.add(geometry::bounds(region.visible));
    result.regions.push_back(std::move(region));
  }
  grow_under(result.regions, options);
  return result;
}

}  // namespace buckram::artwork
