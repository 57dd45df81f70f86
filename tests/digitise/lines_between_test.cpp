// What shows only as a line between shapes sewn over it is kept open, or a note names it.
#include "digitise/lines_between.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <utility>

namespace buckram::digitise {
namespace {

using geometry::Polygon;
using geometry::Polygons;

Polygon box(double x0, double y0, double x1, double y1) {
  return {{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}, {}};
}

// A ground of 20 by 20 mm with two shapes upon it that leave a line `line_mm` wide between them.
artwork::Regions ground_with_line(double line_mm, double right_mm) {
  const Polygons left{box(2, 2, 9, 18)};
  const Polygons right{box(9 + line_mm, 2, 9 + line_mm + right_mm, 18)};
  const Polygons ground{box(0, 0, 20, 20)};
  artwork::Regions regions;
  regions.threads.resize(3);
  const auto add = [&](Polygons visible, Polygons sewn, int thread, const char* source) {
    artwork::Region region;
    region.visible = std::move(visible);
    region.sewn = std::move(sewn);
    region.thread = thread;
    region.order = static_cast<int>(regions.regions.size());
    region.source = source;
    regions.regions.push_back(std::move(region));
  };
  add(geometry::subtract(ground, geometry::unite(left, right)), ground, 0, "ground");
  add(left, left, 1, "left");
  add(right, right, 2, "right");
  return regions;
}

// Width of the ground that shows between the two shapes' outlines as planned, at mid height.
double shown_mm(const Digitised& made) {
  double from = 0, to = 20;
  for (const Object& object : made.objects) {
    const Polygons here = geometry::intersect(object.outline, {box(0, 9, 20, 11)});
    if (here.empty()) continue;
    if (object.source == "left") from = std::max(from, geometry::bounds(here).x1);
    if (object.source == "right") to = std::min(to, geometry::bounds(here).x0);
  }
  return to - from;
}

TEST(LinesBetween, StayOpenWhereCompensationWouldCloseThem) {
  const Recipe recipe = recipe_for(Style::cap);
  ASSERT_GT(recipe.compensation_mm, 0);
  int n_drawn_back = 0;
  for (const double line_mm : {0.45, 0.6, 0.7}) {
    const auto regions = ground_with_line(line_mm, 7);
    const double shown = shown_mm(make_objects(regions, recipe));
    EXPECT_GT(shown, line_mm - 2 * (1 - kGivesWay) * recipe.compensation_mm - 0.05) << line_mm;
    EXPECT_LE(shown, line_mm) << line_mm;
    ++n_drawn_back;
  }
  EXPECT_EQ(n_drawn_back, 3);
}

TEST(LinesBetween, GiveWayNowhereElseAndOnlyWithinTheRegion) {
  const Recipe recipe = recipe_for(Style::cap);
  const double by_mm = kGivesWay * recipe.compensation_mm;
  const auto wide = ground_with_line(2, 7);
  const auto same = giving_way(wide, recipe);
  for (std::size_t r = 0; r < same.size(); ++r) EXPECT_EQ(same[r], wide.regions[r].sewn);
  const auto regions = ground_with_line(0.45, 7);
  const auto sewn = giving_way(regions, recipe);
  ASSERT_EQ(sewn.size(), 3U);
  EXPECT_EQ(sewn[0], regions.regions[0].sewn);
  for (const std::size_t r : {1U, 2U}) {
    const double gone = geometry::area(regions.regions[r].sewn) - geometry::area(sewn[r]);
    EXPECT_NEAR(gone, 16 * by_mm, 0.1) << r;
    EXPECT_LT(geometry::area(geometry::subtract(sewn[r], regions.regions[r].sewn)), 1e-6) << r;
  }
}

TEST(LinesBetween, ThinShapesDoNotGiveWay) {
  const Recipe recipe = recipe_for(Style::cap);
  const auto regions = ground_with_line(0.45, 0.6);
  const auto sewn = giving_way(regions, recipe);
  EXPECT_EQ(sewn[2], regions.regions[2].sewn);
  EXPECT_LT(geometry::area(sewn[1]), geometry::area(regions.regions[1].sewn));
}

// The law: an element of which more than half of the visible area is not sewn has a note.
TEST(LinesBetween, AreToldWhenLost) {
  const Recipe recipe = recipe_for(Style::cap);
  int n_lost = 0, n_kept = 0;
  for (const double width_mm : {0.1, 0.2, 0.3, 0.5, 0.8, 1.5}) {
    auto regions = ground_with_line(width_mm, 7);
    // The line alone shows of the ground, in a thread of its own element.
    regions.regions[0].visible = {box(9, 2, 9 + width_mm, 18)};
    regions.regions[0].sewn = {box(8, 2, 10 + width_mm, 18)};
    const Digitised made = make_objects(regions, recipe);
    const double share = shown_mm(made) / width_mm;
    const bool is_told =
        std::any_of(made.notes.begin(), made.notes.end(), [](const artwork::Note& note) {
          return note.kind == "left_out" && note.source == "ground" && note.at.x > 8.9 &&
                 note.at.x < 10.6 && note.at.y > 2 && note.at.y < 18;
        });
    n_lost += share < 0.5;
    n_kept += share > 0.75;
    EXPECT_TRUE(share >= 0.5 || is_told) << width_mm;
    EXPECT_FALSE(share > 0.75 && is_told) << width_mm;
  }
  EXPECT_GE(n_lost, 1);
  EXPECT_GE(n_kept, 2);
}

}  // namespace
}  // namespace buckram::digitise
