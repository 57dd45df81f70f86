#include "digitise/lines_between.h"

#include "digitise/border.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

namespace buckram::digitise {
namespace {

using artwork::Region;
using geometry::Box;
using geometry::Polygon;
using geometry::Polygons;

constexpr double kCoarseMm = 0.01;
constexpr double kLeastLineMm2 = 0.2;  // shorter: the tip of a corner
constexpr double kCorner = 2;          // times the compensation: corners that stay are as far off
constexpr double kHairMm = 0.1;        // narrower than this nothing is seen of a colour
constexpr double kSpeckMm2 = 0.02;     // rounding, as in make_objects.cpp

// What shows of region i in the artwork only as a line that its neighbours' compensation would
// cover until less than a thread is left.
Polygons covered_lines(const artwork::Regions& regions, std::size_t i, const Recipe& recipe) {
  const Polygons later = other_colours(regions, i, geometry::bounds(regions.regions[i].visible),
                                       recipe.compensation_mm, i + 1);
  if (later.empty()) return {};
  const Polygons visible = geometry::simplify(regions.regions[i].visible, kCoarseMm);
  const Polygons grown = geometry::offset(later, recipe.compensation_mm);
  const Polygons stays = geometry::without_slivers(geometry::subtract(visible, grown),
                                                   recipe.thread_mm, recipe.thread_mm / 2);
  return geometry::without_slivers(
      geometry::subtract(visible, geometry::offset(stays, kCorner * recipe.compensation_mm)),
      kHairMm, kLeastLineMm2);
}

// Where a region that gave way all round would still make a column.
Polygons may_give_way(const Region& region, double by_mm, const Recipe& recipe) {
  const double least_mm = recipe.column_from_mm - 2 * recipe.compensation_mm - 0.05;
  const Polygons rest =
      geometry::without_slivers(geometry::offset(region.visible, -by_mm), least_mm, kLeastLineMm2);
  return geometry::offset(rest, kCorner * by_mm);
}

// A point of the polygon, of a ring too: by its widest row of a few.
geometry::Point place_in(const Polygon& polygon) {
  const Box box = geometry::bounds(polygon);
  const geometry::Point middle = box.middle();
  if (geometry::contains(polygon, middle)) return middle;
  constexpr int kTries = 64;
  geometry::Point best = polygon.outer.front();
  double widest = 0, from = 0;
  for (const double share : {0.5, 0.25, 0.75}) {
    const double y = box.y0 + share * (box.y1 - box.y0);
    bool was_in = false;
    for (int k = 0; k <= kTries; ++k) {
      const double x = box.x0 + k * (box.x1 - box.x0) / kTries;
      const bool is_in = k < kTries && geometry::contains(polygon, {x, y});
      if (is_in && !was_in) from = x;
      if (!is_in && was_in && x - from > widest) widest = x - from, best = {(from + x) / 2, y};
      was_in = is_in;
    }
  }
  return best;
}

Polygons near_to(const std::vector<const Object*>& objects, const Box& box) {
  std::vector<Polygons> areas;
  for (const Object* object : objects)
    if (box.meets(geometry::bounds(object->outline))) areas.push_back(object->outline);
  return geometry::unite(areas);
}

// What is lost of one visible part.
Polygons lost_of(const Polygon& part, const Polygons& own, const Polygons& over) {
  const Polygons seen = geometry::without_slivers(
      geometry::subtract(geometry::intersect({part}, own), over), kHairMm, 0);
  if (geometry::area(seen) < geometry::area(part) / 2) return {part};
  return geometry::without_slivers(geometry::subtract({part}, seen), kLostMm, kLostMm2);
}

std::vector<artwork::Note> lost_of(const artwork::Regions& regions, std::size_t r,
                                   const Digitised& made) {
  const Region& region = regions.regions[r];
  std::vector<const Object*> own, over;
  for (const Object& object : made.objects) {
    if (object.thread == region.thread)
      own.push_back(&object);
    else if (object.order > region.order)
      over.push_back(&object);
  }
  std::vector<artwork::Note> notes;
  for (const Polygon& part : region.visible) {
    if (geometry::area(part) < kSpeckMm2) continue;
    const Box box = geometry::bounds(part);
    for (const Polygon& lost : lost_of(part, near_to(own, box), near_to(over, box))) {
      const bool is_told =
          std::any_of(made.notes.begin(), made.notes.end(), [&](const artwork::Note& note) {
            return note.kind == "left_out" && note.source == region.source &&
                   geometry::bounds(lost).meets({note.at.x, note.at.y, note.at.x, note.at.y});
          });
      if (is_told) continue;
      const double width_mm = geometry::mean_width(lost);
      notes.push_back({"left_out", region.source, place_in(lost),
                       fmt::format("{:.2f} mm wide and {:.1f} mm long, covered by the stitches "
                                   "beside it",
                                   width_mm, geometry::area(lost) / std::max(width_mm, 1e-9))});
    }
  }
  return notes;
}

}  // namespace

std::vector<Polygons> giving_way(const artwork::Regions& regions, const Recipe& recipe) {
  const double by_mm = kGivesWay * recipe.compensation_mm;
  std::vector<Polygons> sewn;
  for (const Region& region : regions.regions) sewn.push_back(region.sewn);
  if (by_mm <= 0) return sewn;
  std::vector<Polygons> lines(sewn.size());
  base::parallel_for(sewn.size(),
                     [&](std::size_t i) { lines[i] = covered_lines(regions, i, recipe); });
  base::parallel_for(sewn.size(), [&](std::size_t j) {
    const Region& region = regions.regions[j];
    const Box box = geometry::bounds(region.sewn);
    Polygons near;
    for (std::size_t i = 0; i < j; ++i) {
      if (regions.regions[i].thread == region.thread) continue;
      for (const Polygon& line : lines[i])
        if (box.meets(geometry::bounds(line), by_mm)) near.push_back(line);
    }
    if (near.empty()) return;
    const Polygons way =
        geometry::intersect(geometry::offset(near, by_mm), may_give_way(region, by_mm, recipe));
    if (way.empty()) return;
    Polygons rest = geometry::subtract(region.sewn, way);
    if (!rest.empty()) sewn[j] = std::move(rest);
  });
  return sewn;
}

std::vector<artwork::Note> lost_parts(const artwork::Regions& regions, const Digitised& made) {
  std::vector<std::vector<artwork::Note>> each(regions.regions.size());
  base::parallel_for(each.size(), [&](std::size_t r) { each[r] = lost_of(regions, r, made); });
  std::vector<artwork::Note> notes;
  for (const auto& list : each) notes.insert(notes.end(), list.begin(), list.end());
  return notes;
}

}  // namespace buckram::digitise
