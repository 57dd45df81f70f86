#include "artwork/regions.h"

#include "artwork/palette.h"

#include <algorithm>
#include <utility>

namespace buckram::artwork {
namespace {

using geometry::Box;
using geometry::Polygons;

// Narrower than this a visible part is the rounding of two outlines that were meant to meet.
constexpr double kSliverMm = 0.05;
// A stroke shows whole when no more than this share of it is hidden.
constexpr double kHiddenShare = 0.002;

struct Placed {
  Polygons area;     // all that is painted
  Polygons visible;  // what later shapes leave of it
  Box box;
  int shape = 0;  // index into the drawing
};

std::vector<Placed> place_all(const Drawing& drawing, const geometry::Affine& placement) {
  std::vector<Placed> all;
  for (std::size_t i = 0; i < drawing.shapes.size(); ++i) {
    Placed placed;
    // Mirroring (y points down in artwork) may turn outlines round; a union sets them right and
    // puts them on the grid that all that follows shares.
    placed.area = geometry::unite({geometry::transformed(drawing.shapes[i].area, placement)});
    placed.box = geometry::bounds(placed.area);
    placed.shape = static_cast<int>(i);
    all.push_back(std::move(placed));
  }
  return all;
}

// The union of what lies over shape `i` and near it.
Polygons cover_of(const std::vector<Placed>& all, std::size_t i, double margin_mm) {
  std::vector<Polygons> later;
  for (std::size_t j = i + 1; j < all.size(); ++j) {
    if (all[i].box.meets(all[j].box, margin_mm)) later.push_back(all[j].area);
  }
  return geometry::unite(later);
}

void find_visible(std::vector<Placed>& all, const RegionOptions& options) {
  for (std::size_t i = 0; i < all.size(); ++i) {
    const Polygons cover = cover_of(all, i, 0);
    const Polygons shows = cover.empty() ? all[i].area : geometry::subtract(all[i].area, cover);
    all[i].visible = geometry::without_slivers(shows, kSliverMm, options.least_area_mm2);
  }
}

bool shows_whole(const Placed& placed) {
  return geometry::area(placed.visible) >= (1 - kHiddenShare) * geometry::area(placed.area);
}

std::vector<MiddleLine> middle_lines(const Shape& shape, const geometry::Affine& placement) {
  std::vector<MiddleLine> lines = shape.middle_lines;
  for (MiddleLine& each : lines) {
    each.line = geometry::transformed(each.line, placement);
    each.width *= geometry::mean_scale(placement);
  }
  return lines;
}

Region region_of(const Placed& placed, const Shape& shape, int thread,
                 const geometry::Affine& placement) {
  Region region;
  region.visible = placed.visible;
  region.thread = thread;
  region.colour = shape.colour;
  region.source = shape.source;
  if (shows_whole(placed)) region.middle_lines = middle_lines(shape, placement);
  return region;
}

bool touch(const Region& a, const Region& b) {
  if (!geometry::bounds(a.visible).meets(geometry::bounds(b.visible), kSliverMm)) return false;
  const Polygons grown = geometry::offset(a.visible, kSliverMm, geometry::Join::miter);
  return geometry::area(geometry::intersect(grown, b.visible)) > geometry::kGridMm;
}

// Joins a region to the one before it in paint order when they touch and have the same thread: a
// fill and its own outline, or a shape drawn in halves, become one.
void add_or_join(std::vector<Region>& regions, Region region) {
  if (!regions.empty() && regions.back().thread == region.thread && touch(regions.back(), region)) {
    Region& last = regions.back();
    // The sliver between them belongs to both.
    const double half = kSliverMm / 2;
    last.visible = geometry::unite(last.visible, region.visible);
    last.visible = geometry::offset(geometry::offset(last.visible, half, geometry::Join::miter),
                                    -half, geometry::Join::miter);
    last.middle_lines.clear();
    return;
  }
  regions.push_back(std::move(region));
}

// Grown under whatever lies over it, so that no cloth shows between neighbours.
void grow_under(std::vector<Region>& regions, double underlap_mm) {
  std::vector<Box> boxes;
  for (const Region& region : regions) boxes.push_back(geometry::bounds(region.visible));
  for (std::size_t i = 0; i < regions.size(); ++i) {
    std::vector<Polygons> later;
    for (std::size_t j = i + 1; j < regions.size(); ++j) {
      if (boxes[i].meets(boxes[j], underlap_mm)) later.push_back(regions[j].visible);
    }
    regions[i].sewn = regions[i].visible;
    if (later.empty() || underlap_mm <= 0) continue;
    const Polygons under = geometry::intersect(geometry::offset(regions[i].visible, underlap_mm),
                                               geometry::unite(later));
    // Grown a hair more than it meets, so that visible and underlap leave no line between them.
    const Polygons grown =
        geometry::unite(regions[i].visible, geometry::offset(under, geometry::kGridMm * 5));
    regions[i].sewn = geometry::without_slivers(grown, kSliverMm, 0);
  }
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
  std::vector<Placed> all = place_all(drawing, placement);
  find_visible(all, options);

  std::vector<PaletteShare> shares;
  for (const Placed& placed : all) {
    const Shape& shape = drawing.shapes[static_cast<std::size_t>(placed.shape)];
    shares.push_back({shape.colour, geometry::area(placed.visible), shape.source});
  }
  const Palette palette = choose_threads(shares, threads, options);
  result.threads = palette.threads;
  result.notes = palette.notes;

  for (std::size_t i = 0; i < all.size(); ++i) {
    if (all[i].visible.empty()) continue;
    const Shape& shape = drawing.shapes[static_cast<std::size_t>(all[i].shape)];
    add_or_join(result.regions, region_of(all[i], shape, palette.thread_of[i], placement));
  }
  grow_under(result.regions, options.underlap_mm);
  for (std::size_t i = 0; i < result.regions.size(); ++i) {
    result.regions[i].order = static_cast<int>(i);
    result.box.add(geometry::bounds(result.regions[i].visible));
  }
  return result;
}

}  // namespace buckram::artwork
