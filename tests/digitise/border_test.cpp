// Columns beside another colour: how much of the edge is teeth and how much gaps.
#include "digitise/border.h"

#include "digitise/column.h"
#include "digitise/strip_shapes.h"

#include <gtest/gtest.h>

namespace buckram::digitise {
namespace {

using geometry::Point;

Recipe bare_recipe() {
  Recipe recipe;
  recipe.compensation_mm = 0;
  return recipe;
}

Column column_of(const geometry::Polygon& cell, const Recipe& recipe) {
  return fit_column(cell, *strip_axis(cell).spine, recipe).column;
}

// Share of the line at height y, from x0 to x1, that the column's thread lies over.
double toothed(const Column& column, const geometry::Polygon& cell, double y, double x0, double x1,
               const Recipe& recipe) {
  const Way way = column_ways(column, {cell}, recipe).front();
  std::vector<geometry::Polygons> capsules;
  for (const Piece& piece : sew_column(column, {cell}, way, recipe, {false, false})) {
    for (std::size_t i = 1; piece.layer == stitch::Layer::top && i < piece.points.size(); ++i)
      capsules.push_back(geometry::stroke_outline({piece.points[i - 1], piece.points[i]},
                                                  recipe.thread_mm, false, geometry::Join::round,
                                                  geometry::Cap::round));
  }
  const geometry::Polygons thread = geometry::unite(capsules);
  int over = 0;
  constexpr int kPlaces = 2000;
  for (int k = 0; k < kPlaces; ++k)
    over += geometry::contains(thread, {x0 + (x1 - x0) * (k + 0.5) / kPlaces, y});
  return double(over) / kPlaces;
}

// A bar of 20 x 3 mm with another colour above it and bare cloth below.
TEST(Border, TeethAndGapsTakeEqualPartsOfTheEdgeToAnotherColour) {
  const Recipe recipe = bare_recipe();
  const geometry::Polygon bar = strips::rectangle(20, 3);
  const geometry::Box box = geometry::bounds(bar);
  const geometry::Polygons above{
      {{{box.x0, box.y1}, {box.x1, box.y1}, {box.x1, box.y1 + 5}, {box.x0, box.y1 + 5}}, {}}};
  Column column = column_of(bar, recipe);
  const auto share = [&](double y) {
    return toothed(column, bar, y, box.x0 + 2, box.x1 - 2, recipe);
  };
  const double as_before = share(box.y1), bare_before = share(box.y0);
  draw_in_at_border(column, stitch::Within(above), recipe);
  EXPECT_GT(as_before, 0.75);
  EXPECT_NEAR(share(box.y1), 0.5, 0.03) << "closed form: sqrt(1 - (1 - 2 s)^2), s = 0.067";
  EXPECT_NEAR(share(box.y0), bare_before, 0.005) << "bare cloth is covered as before";
}

TEST(Border, NoThreadBecomesShorterThanTheShortestStitch) {
  const Recipe recipe = bare_recipe();
  int n_drawn = 0;
  for (double width = 0.9; width < 1.6; width += 0.05) {
    const geometry::Polygon bar = strips::rectangle(15, width);
    const geometry::Box box = geometry::bounds(bar);
    const geometry::Polygons around{{{{box.x0 - 5, box.y0 - 5},
                                      {box.x1 + 5, box.y0 - 5},
                                      {box.x1 + 5, box.y1 + 5},
                                      {box.x0 - 5, box.y1 + 5}},
                                     {}}};
    const Column before = column_of(bar, recipe);
    Column after = before;
    draw_in_at_border(after, stitch::Within(around), recipe);
    for (std::size_t i = 0; i < after.rungs.size(); ++i) {
      const double was = geometry::distance(before.rungs[i].left, before.rungs[i].right);
      const double is = geometry::distance(after.rungs[i].left, after.rungs[i].right);
      EXPECT_LE(is, was + 1e-9);
      EXPECT_GE(is, std::min(was, recipe.shortest_mm) - 1e-9);
      n_drawn += is < was - 1e-9;
    }
  }
  EXPECT_GT(n_drawn, 100);
}

TEST(Border, OtherColoursAreThoseOfOtherThreadsNearBy) {
  const auto square = [](double x, int thread) {
    artwork::Region region;
    region.visible = region.sewn = {{{{x, 0}, {x + 2, 0}, {x + 2, 2}, {x, 2}}, {}}};
    region.thread = thread;
    return region;
  };
  artwork::Regions regions;
  regions.regions = {square(0, 0), square(2, 1), square(4.5, 0), square(9, 1)};
  const geometry::Polygons others =
      other_colours(regions, 0, geometry::bounds(regions.regions[0].sewn), 1);
  ASSERT_EQ(others.size(), 1u);
  EXPECT_TRUE(geometry::contains(others, {3, 1}));
}

}  // namespace
}  // namespace buckram::digitise
