// What is one cloth is sewn as one: strips beside what lies on a fill.
#include "digitise/split.h"

#include "digitise/strip_shapes.h"

#include <gtest/gtest.h>

namespace buckram::digitise {
namespace {

using geometry::Polygon;
using geometry::Polygons;
using strips::bare_recipe;

Polygon box(double x0, double y0, double x1, double y1) {
  return {{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}, {}};
}

Polygon disc(double radius) {
  return {strips::circle(radius, 90), {}};
}

Polygon less(const Polygon& shape, const Polygons& holes) {
  Polygons rest = geometry::subtract({shape}, holes);
  EXPECT_EQ(rest.size(), 1u);
  return std::move(rest.front());
}

std::vector<Cell> cells_of(const Polygon& polygon, const Polygons& drawn = {}) {
  return split(polygon, bare_recipe(), drawn);
}

bool is_one_fill(const std::vector<Cell>& cells) {
  return cells.size() == 1 && cells.front().wide;
}

// A bar upon a disc leaves 4 to 5 mm of it on one side.
TEST(WideParts, AStripBesideABarOnADiscIsTheSameCloth) {
  const Polygon rest = less(disc(12), {box(-7.5, -5, -2, 5)});
  EXPECT_TRUE(is_one_fill(cells_of(rest)));
  EXPECT_TRUE(is_one_fill(cells_of(rest, {disc(12)})));
}

// The bar reaches over the edge, so that the strip has a free end.
TEST(WideParts, AStripWithAFreeEndIsTheSameClothWhereItWasDrawnSo) {
  const Polygon rest = less(box(0, 0, 30, 30), {box(4, -1, 9, 22)});
  EXPECT_EQ(cells_of(rest).size(), 2u);
  EXPECT_TRUE(is_one_fill(cells_of(rest, {box(0, 0, 30, 30)})));
}

TEST(WideParts, AFlagsStripsRoundAPanelAreTheSameCloth) {
  const Polygon flag = box(0, 0, 40, 24);
  EXPECT_TRUE(is_one_fill(cells_of(less(flag, {box(24, 3.3, 36.7, 20.7)}), {flag})));
}

TEST(WideParts, AThinBorderRoundAPanelStaysAColumn) {
  const Polygon flag = box(0, 0, 40, 24);
  const auto cells = cells_of(less(flag, {box(18, 1.6, 38.4, 22.4)}), {flag});
  ASSERT_EQ(cells.size(), 2u);
  EXPECT_NE(cells[0].wide, cells[1].wide);
}

TEST(WideParts, AWallOfWindowsIsAFillAndALatticeIsNot) {
  const Polygon wall = box(0, 0, 26, 22);
  Polygons windows;
  for (int i = 0; i < 3; ++i)
    for (int j = 0; j < 2; ++j)
      windows.push_back(box(3 + 7.5 * i, 3 + 9 * j, 8 + 7.5 * i, 10 + 9 * j));
  const Polygon rest = less(wall, windows);
  EXPECT_TRUE(is_one_fill(cells_of(rest, {wall})));
  for (const Cell& cell : cells_of(rest)) EXPECT_FALSE(cell.wide);
}

// A letter whose counters were painted on it is still a letter.
TEST(WideParts, LettersStayColumnsWhateverLiesInTheirCounters) {
  int n_with_counters = 0;
  for (const auto& [sign, shape] : strips::glyphs(20)) {
    for (const Polygon& polygon : shape) {
      n_with_counters += !polygon.holes.empty();
      const Polygons filled{{polygon.outer, {}}};
      for (const Cell& cell : cells_of(polygon, filled)) EXPECT_FALSE(cell.wide) << sign;
    }
  }
  EXPECT_GE(n_with_counters, 5);
}

TEST(WideParts, AShapeThatNothingHidesIsCutAsIfItWereAlone) {
  const Polygon keyhole{{{0, 0}, {20, 0}, {20, 8}, {35, 8}, {35, 12}, {20, 12}, {20, 20}, {0, 20}},
                        {}};
  for (const Polygon& shape : {keyhole, strips::star(5, 20, 6),
                               less(disc(12), {box(-7.5, -5, -2, 5)}), strips::ring(14, 9)}) {
    const auto alone = cells_of(shape), drawn = cells_of(shape, {shape});
    ASSERT_EQ(alone.size(), drawn.size());
    for (std::size_t i = 0; i < alone.size(); ++i) {
      EXPECT_EQ(alone[i].wide, drawn[i].wide);
      EXPECT_NEAR(geometry::area(alone[i].area), geometry::area(drawn[i].area), 1e-9);
    }
  }
}

}  // namespace
}  // namespace buckram::digitise
