// Where shapes are cut. The expected partitions are what a hand would choose, by the rule that
// the straightest pair runs through.
#include "digitise/split.h"

#include "digitise/strip_shapes.h"

#include <gtest/gtest.h>

#include <algorithm>

namespace buckram::digitise {
namespace {

using strips::bare_recipe;

std::vector<Cell> cells_of(const geometry::Polygons& shape) {
  std::vector<Cell> all;
  for (const auto& polygon : shape) {
    for (Cell& cell : split(polygon, bare_recipe())) all.push_back(std::move(cell));
  }
  return all;
}

std::vector<double> areas(const std::vector<Cell>& cells) {
  std::vector<double> out;
  for (const Cell& cell : cells) out.push_back(geometry::area(cell.area));
  std::sort(out.begin(), out.end());
  return out;
}

struct Expected {
  char letter;
  std::size_t n_cells;
};

class Letters : public testing::TestWithParam<Expected> {};

TEST_P(Letters, AreCutIntoTheStrokesAHandWouldSew) {
  const auto glyphs = strips::glyphs(12);
  ASSERT_TRUE(glyphs.contains(GetParam().letter));
  const auto cells = cells_of(glyphs.at(GetParam().letter));
  EXPECT_EQ(cells.size(), GetParam().n_cells) << GetParam().letter;
  for (const Cell& cell : cells) EXPECT_FALSE(cell.wide);
}

INSTANTIATE_TEST_SUITE_P(Split, Letters,
                         testing::Values(Expected{'H', 3}, Expected{'T', 2}, Expected{'X', 3},
                                         Expected{'L', 2}, Expected{'V', 2}, Expected{'E', 4},
                                         Expected{'O', 1}, Expected{'S', 1}, Expected{'A', 3},
                                         Expected{'K', 3}, Expected{'8', 2}));

TEST(Split, TheCrossBarOfAnHIsTuckedUnderBothStems) {
  const auto cells = cells_of({{{{0, 0},
                                 {3, 0},
                                 {3, 5},
                                 {7, 5},
                                 {7, 0},
                                 {10, 0},
                                 {10, 12},
                                 {7, 12},
                                 {7, 7},
                                 {3, 7},
                                 {3, 12},
                                 {0, 12}},
                                {}}});
  ASSERT_EQ(cells.size(), 3u);
  const double tuck = bare_recipe().thread_mm / 2;
  const auto sizes = areas(cells);
  EXPECT_NEAR(sizes[0], 2 * (4 + 2 * tuck), 0.05);
  EXPECT_NEAR(sizes[1], 36, 0.05);
  EXPECT_NEAR(sizes[2], 36, 0.05);
  int n_waiting = 0;
  for (const Cell& cell : cells) {
    n_waiting += !cell.after.empty();
    EXPECT_EQ(cell.tucked, cell.after);
  }
  EXPECT_EQ(n_waiting, 2);  // the stems wait for the bar
}

TEST(Split, AnArmLeavesAWidePartAndIsSewnOverIt) {
  const geometry::Polygon keyhole{
      {{0, 0}, {20, 0}, {20, 9}, {35, 9}, {35, 11}, {20, 11}, {20, 20}, {0, 20}}, {}};
  const auto cells = split(keyhole, bare_recipe());
  ASSERT_EQ(cells.size(), 2u);
  const int arm = geometry::area(cells[0].area) < geometry::area(cells[1].area) ? 0 : 1;
  EXPECT_FALSE(cells[arm].wide);
  EXPECT_TRUE(cells[1 - arm].wide);
  EXPECT_EQ(cells[arm].after, std::vector<int>{1 - arm});
  EXPECT_TRUE(cells[arm].tucked.empty());
  EXPECT_NEAR(geometry::area(cells[arm].area), 2 * (15 + bare_recipe().row_mm), 0.3);
}

TEST(Split, CellsCoverThePolygon) {
  for (const auto& [sign, shape] : strips::glyphs(12)) {
    geometry::Polygons joined;
    for (const Cell& cell : cells_of(shape)) joined = geometry::unite(joined, {cell.area});
    EXPECT_LT(geometry::area(geometry::subtract(shape, joined)), 0.003 * geometry::area(shape))
        << sign;
    EXPECT_LT(geometry::area(geometry::subtract(joined, shape)), 1e-3) << sign;
  }
}

// Common practice, no source: legs that meet in a sharp point are mitred, square corners are
// capped.
TEST(Split, LegsThatMeetInAPointBothEndInItsTip) {
  geometry::Polygon outline = strips::star(5, 24, 9.2);
  auto holes = geometry::offset({outline}, -3, geometry::Join::miter);
  ASSERT_EQ(holes.size(), 1u);
  std::reverse(holes[0].outer.begin(), holes[0].outer.end());
  outline.holes.push_back(holes[0].outer);
  const auto cells = cells_of({outline});
  ASSERT_EQ(cells.size(), 5u);
  for (std::size_t k = 0; k < outline.outer.size(); k += 2) {
    const geometry::Point tip = outline.outer[k];
    const auto reaches = std::count_if(cells.begin(), cells.end(), [&](const Cell& cell) {
      return std::any_of(cell.area.outer.begin(), cell.area.outer.end(),
                         [&](geometry::Point p) { return geometry::distance(p, tip) < 0.05; });
    });
    EXPECT_EQ(reaches, 2) << tip.x << ' ' << tip.y;
  }
  // Alike but for what is tucked under at either end.
  const auto each = areas(cells);
  constexpr double kJointMm = 9.66;  // 3 mm over the sine of half a point
  EXPECT_LT(each.back() - each.front(), 2 * bare_recipe().row_mm * kJointMm);
}

TEST(Split, ALegThatOnlyEndsInACornerIsNotMitred) {
  const auto cells = cells_of(strips::glyphs(12).at('A'));
  ASSERT_EQ(cells.size(), 3u);
  // Two legs of one length and the bar.
  EXPECT_NEAR(areas(cells)[1], areas(cells)[2], 0.15 * areas(cells)[2]);
}

// Nobody waits for himself, however roundabout.
TEST(Split, OrderHasNoCycles) {
  for (const auto& [sign, shape] : strips::glyphs(12)) {
    const auto cells = cells_of(shape);
    std::vector<bool> done(cells.size(), false);
    for (std::size_t round = 0; round < cells.size(); ++round) {
      for (std::size_t i = 0; i < cells.size(); ++i) {
        done[i] = done[i] || std::all_of(cells[i].after.begin(), cells[i].after.end(),
                                         [&](int b) { return done[static_cast<std::size_t>(b)]; });
      }
    }
    EXPECT_TRUE(std::all_of(done.begin(), done.end(), [](bool d) { return d; })) << sign;
  }
}

}  // namespace
}  // namespace buckram::digitise
