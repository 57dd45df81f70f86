// What runs through where strokes meet, and that rounding has no say in it. The expected partitions
// are what a hand would choose (common practice, no source): stems are sewn whole, bowls and arches
// butt against them, a cross bar passes under its stem in one.
#include "digitise/junctions.h"

#include "digitise/split.h"
#include "digitise/strip_shapes.h"

#include <gtest/gtest.h>

#include <algorithm>

namespace buckram::digitise {
namespace {

using geometry::Point;
using geometry::Polygon;
using geometry::Polygons;
using strips::bare_recipe;

std::vector<Cell> cells_of(const Polygon& shape) {
  return split(shape, bare_recipe());
}

// The cell that holds p alone, as its bounds.
geometry::Box stroke_at(const std::vector<Cell>& cells, Point p) {
  for (const Cell& cell : cells)
    if (geometry::contains(cell.area, p)) return geometry::bounds(cell.area);
  return {};
}

// An n of 1.6 mm strokes: a stem from 0 to 6 whose head stands out over the arch by 0.5 mm.
Polygon letter_n() {
  Polygon n{{{0, 0}, {1.6, 0}, {1.6, 2.6}}, {}};
  for (int i = 12; i >= 0; --i) {
    const double a = base::kPi * i / 12;
    n.outer.push_back({2.6 + std::cos(a), 2.9 + std::sin(a)});
  }
  n.outer.insert(n.outer.end(), {{3.6, 0}, {5.2, 0}, {5.2, 2.9}});
  for (int i = 1; i <= 8; ++i) {
    const double a = base::kPi * i / 12;
    n.outer.push_back({2.6 + 2.6 * std::cos(a), 2.9 + 2.6 * std::sin(a)});
  }
  n.outer.insert(n.outer.end(), {{1.6, 5.0}, {1.6, 6}, {0, 6}});
  return n;
}

TEST(Junctions, AStemWithAHeadOverItsArchIsSewnWhole) {
  const auto cells = cells_of(letter_n());
  ASSERT_EQ(cells.size(), 2u);
  const geometry::Box stem = stroke_at(cells, {0.3, 5.5});
  EXPECT_NEAR(stem.height(), 6, 0.01);
  EXPECT_NEAR(stem.width(), 1.6, 0.1);
}

// A cross bar that stands out to the left by less than its own width.
TEST(Junctions, AShortCrossBarPassesUnderItsStemInOne) {
  const Polygon t{{{0, 0},
                   {1.6, 0},
                   {1.6, 4.4},
                   {2.6, 4.4},
                   {2.6, 5.6},
                   {1.6, 5.6},
                   {1.6, 8},
                   {0, 8},
                   {0, 5.6},
                   {-0.7, 5.6},
                   {-0.7, 4.4},
                   {0, 4.4}},
                  {}};
  const auto cells = cells_of(t);
  ASSERT_EQ(cells.size(), 2u);
  int stem = -1, bar = -1;
  for (int i = 0; i < 2; ++i)
    (geometry::bounds(cells[static_cast<std::size_t>(i)].area).height() > 4 ? stem : bar) = i;
  ASSERT_TRUE(stem >= 0 && bar >= 0);
  const geometry::Box box = geometry::bounds(cells[static_cast<std::size_t>(bar)].area);
  EXPECT_NEAR(box.width(), 3.3, 0.01);
  EXPECT_NEAR(box.height(), 1.2, 0.01);
  EXPECT_EQ(cells[static_cast<std::size_t>(stem)].after, std::vector<int>{bar});
}

Polygon strokes(const std::vector<geometry::Polyline>& lines, double width_mm) {
  std::vector<Polygons> parts;
  for (const auto& line : lines)
    parts.push_back(geometry::stroke_outline(line, width_mm, false, geometry::Join::miter,
                                             geometry::Cap::butt, 20));
  const Polygons all = geometry::unite(parts);
  EXPECT_EQ(all.size(), 1u);
  return all.front();
}

Polygon mirrored(Polygon shape) {
  const auto turn = [](geometry::Ring& ring) {
    for (Point& p : ring) p.x = -p.x;
    std::reverse(ring.begin(), ring.end());
  };
  turn(shape.outer);
  for (auto& hole : shape.holes) turn(hole);
  return shape;
}

// Area of the cells of the shape that no cell of its mirror image matches, mm^2, largest first.
double worst_mismatch(const Polygon& shape) {
  const auto cells = cells_of(shape), images = cells_of(mirrored(shape));
  EXPECT_EQ(cells.size(), images.size());
  double worst = 0;
  for (const Cell& cell : cells) {
    double best = INFINITY;
    for (const Cell& image : images) {
      const Polygons back{mirrored(image.area)};
      best = std::min(best, geometry::area(geometry::subtract({cell.area}, back)) +
                                geometry::area(geometry::subtract(back, {cell.area})));
    }
    worst = std::max(worst, best);
  }
  return worst;
}

struct Figure {
  const char* name;
  std::vector<geometry::Polyline> lines;
};

class Mirrored : public testing::TestWithParam<Figure> {};

TEST_P(Mirrored, ShapesAreCutAlike) {
  int n_cut = 0;
  for (const double width : {1.0, 1.5, 2.0}) {
    const Polygon shape = strokes(GetParam().lines, width);
    n_cut += cells_of(shape).size() > 1;
    EXPECT_LT(worst_mismatch(shape), 0.02) << GetParam().name << " " << width;
  }
  EXPECT_EQ(n_cut, 3);
}

// Legs of equal length and arms of equal bend, where nothing but rounding could choose; each shape
// has something else by which its image is told from it.
INSTANTIATE_TEST_SUITE_P(
    Junctions, Mirrored,
    testing::Values(Figure{"equal legs", {{{0, 9}, {0, 0}, {9, 0}}}},
                    Figure{"zed", {{{0, 9}, {8, 9}, {0, 0}, {8, 0}}}},
                    Figure{"square hook", {{{0, 8}, {8, 8}, {8, 0}, {3, 0}}}},
                    Figure{"tee", {{{0, 0}, {0, 9}}, {{0, 5}, {5, 5}}}},
                    Figure{"fork", {{{0, 0}, {0, 5}, {-4, 9}}, {{0, 5}, {5, 9}}}},
                    Figure{"cross", {{{0, 0}, {8, 8}}, {{0, 8}, {8, 0}}, {{8, 8}, {8, 12}}}},
                    Figure{"en", {{{0, 0}, {0, 9}, {7, 0}, {7, 9}}}}));

}  // namespace
}  // namespace buckram::digitise
