// Rows, clipping, rasters and the point grid against their definitions.
#include "geometry/geometry.h"
#include "support/geos_oracle.h"
#include "support/random_polygons.h"

#include <gtest/gtest.h>

#include <cmath>

namespace buckram::geometry {
namespace {

double total(const std::vector<Polyline>& parts) {
  double sum = 0;
  for (const Polyline& part : parts) sum += length(part);
  return sum;
}

TEST(Hatch, SpansAreTheClippedRows) {
  const test::Geos geos;
  int n_rows = 0;
  for (std::uint64_t seed = 1; seed <= 60; ++seed) {
    SCOPED_TRACE(seed);
    base::Random random(seed);
    const int n = 4 + random.below(40);
    const Polygons shape{test::holed_star(random, n, 8)};
    const double angle = random.uniform(-4, 4), phase = random.uniform(-1, 1);
    const double c = std::cos(angle), s = std::sin(angle);
    for (const Row& row : hatch(shape, angle, 0.9, phase)) {
      double sum = 0;
      for (std::size_t i = 0; i < row.spans.size(); ++i) {
        EXPECT_LT(row.spans[i].from, row.spans[i].to);
        if (i > 0) {
          EXPECT_LT(row.spans[i - 1].to, row.spans[i].from);
        }
        sum += row.spans[i].to - row.spans[i].from;
      }
      const Polyline line{row_point(c, s, -20, row.offset), row_point(c, s, 20, row.offset)};
      EXPECT_NEAR(sum, total(clip(line, shape)), 1e-9);
      EXPECT_NEAR(sum, geos.length(geos.intersect(geos.line(line), geos.shape(shape))), 1e-9);
      ++n_rows;
    }
  }
  EXPECT_GT(n_rows, 500);
}

TEST(Hatch, RowsTimesSpacingIsTheArea) {
  base::Random random(5);
  const Polygons shape{test::holed_star(random, 50, 10)};
  for (const double angle : {0.0, 0.3, 1.57, 2.9}) {
    double sum = 0;
    for (const Row& row : hatch(shape, angle, 0.001)) {
      for (const Span& span : row.spans) sum += (span.to - span.from) * 0.001;
    }
    EXPECT_NEAR(sum, area(shape), 2e-3);
  }
}

TEST(Hatch, VertexOnARowCountsOnce) {
  // all corners lie on rows
  const Polygons shape{Polygon{{{0, 0}, {4, 0}, {6, 2}, {4, 4}, {0, 4}, {2, 2}}, {}}};
  const std::vector<Row> rows = hatch(shape, 0, 1);
  ASSERT_EQ(rows.size(), 4u);
  EXPECT_DOUBLE_EQ(rows[0].spans[0].to, 4);
  EXPECT_DOUBLE_EQ(rows[2].spans[0].from, 2);
  EXPECT_DOUBLE_EQ(rows[2].spans[0].to, 6);
  EXPECT_TRUE(hatch({}, 0, 1).empty());
}

TEST(Clip, PartsAgreeWithGeosAndComeInOrder) {
  const test::Geos geos;
  double sum = 0;
  for (std::uint64_t seed = 1; seed <= 200; ++seed) {
    SCOPED_TRACE(seed);
    base::Random random(seed);
    const Polygons shape{test::holed_star(random, 5 + random.below(40), 8)};
    const Polyline line = test::tangle(random, 2 + random.below(10), 10);
    const std::vector<Polyline> parts = clip(line, shape);
    EXPECT_NEAR(total(parts), geos.length(geos.intersect(geos.line(line), geos.shape(shape))),
                1e-7);
    double last = -1;
    const ArcLength along(line);
    for (const Polyline& part : parts) {
      ASSERT_GE(part.size(), 2u);
      if (line.size() == 2) {
        EXPECT_GT(along.nearest(part.front()), last);
        last = along.nearest(part.back());
      }
    }
    sum += total(parts);
  }
  EXPECT_GT(sum, 100);
}

TEST(Clip, ALineInsideStaysOnePiece) {
  const Polygons shape{Polygon{test::rectangle(0, 0, 10, 10), {}}};
  const Polyline line{{1, 1}, {9, 1}, {9, 9}, {0, 9}, {0, 5}};
  const std::vector<Polyline> parts = clip(line, shape);
  ASSERT_GE(parts.size(), 1u);
  EXPECT_EQ(parts.front().front(), line.front());
  EXPECT_GE(parts.front().size(), 4u);
}

TEST(Inside, OutlineAndHolesCount) {
  const Polygons frame = subtract({Polygon{test::rectangle(0, 0, 10, 10), {}}},
                                  {Polygon{test::rectangle(4, 4, 6, 6), {}}});
  EXPECT_TRUE(inside({1, 1}, {9, 1}, frame));
  EXPECT_TRUE(inside({0, 0}, {10, 0}, frame));  // along the outline
  EXPECT_TRUE(inside({0, 0}, {4, 4}, frame));   // up to the hole's corner
  EXPECT_TRUE(inside({0, 4}, {10, 4}, frame));  // along the hole's edge
  EXPECT_FALSE(inside({1, 5}, {9, 5}, frame));  // through the hole
  EXPECT_FALSE(inside({1, 1}, {11, 1}, frame));
  EXPECT_FALSE(inside({4.5, 5}, {5.5, 5}, frame));
  EXPECT_TRUE(inside({2, 2}, {2, 2}, frame));
  EXPECT_FALSE(inside({5, 5}, {5, 5}, frame));
}

TEST(Inside, AgreesWithClip) {
  int n_inside = 0;
  for (std::uint64_t seed = 1; seed <= 2000; ++seed) {
    base::Random random(seed);
    const Polygons shape{test::holed_star(random, 12, 8)};
    const Polyline line = test::tangle(random, 2, 8);
    const bool is_inside = inside(line[0], line[1], shape);
    const double out = length(line) - total(clip(line, shape));
    if (out > 1e-2) {
      EXPECT_FALSE(is_inside) << seed;
    }
    if (out < 1e-9) {
      EXPECT_TRUE(is_inside) << seed;
    }
    n_inside += is_inside;
  }
  EXPECT_GT(n_inside, 50);
}

TEST(RasterOf, PaintIsContainsAtEveryMiddle) {
  base::Random random(3);
  const Polygons shape{test::holed_star(random, 30, 5)};
  Raster raster = make_raster(bounds(shape), 0.1, 0.302);
  paint(raster, shape, 7);
  int n_wrong = 0, n_in = 0;
  for (int j = 0; j < raster.height; ++j) {
    for (int i = 0; i < raster.width; ++i) {
      n_in += raster.at(i, j) == 7;
      n_wrong += (raster.at(i, j) == 7) != contains(shape, raster.middle(i, j));
    }
  }
  EXPECT_EQ(n_wrong, 0);
  EXPECT_NEAR(n_in * 0.01, area(shape), 0.5);
}

TEST(RasterOf, CapsuleIsAllMiddlesWithinHalfTheWidth) {
  for (const double turn : {0.0, 0.302}) {
    Raster raster = make_raster({0, 0, 10, 10}, 0.07, turn);
    const Point a{2, 3}, b{7.5, 5.1};
    paint_capsule(raster, a, b, 0.9, 1);
    paint_capsule(raster, {9, 9}, {9, 9}, 0.5, 2);
    int n_wrong = 0, n_dot = 0;
    for (int j = 0; j < raster.height; ++j) {
      for (int i = 0; i < raster.width; ++i) {
        const Point p = raster.middle(i, j), d = b - a;
        const double t = std::clamp(dot(p - a, d) / dot(d, d), 0.0, 1.0);
        n_wrong += (raster.at(i, j) == 1) != (distance(p, a + d * t) <= 0.45);
        n_dot += raster.at(i, j) == 2;
      }
    }
    EXPECT_LE(n_wrong, 1);  // a middle on the rim may fall on either side
    EXPECT_NEAR(n_dot * 0.0049, std::numbers::pi * 0.0625, 0.03);
  }
}

TEST(Grid, FindsWhatBruteForceFinds) {
  base::Random random(4);
  PointGrid grid(0.5);
  const Ring points = test::tangle(random, 2000, 10);
  for (std::size_t i = 0; i < points.size(); ++i) grid.add(points[i], static_cast<int>(i));
  for (const double radius : {0.1, 0.5, 3.0, 1e9}) {
    const Point p = points[17];
    const auto n = std::count_if(points.begin(), points.end(),
                                 [&](Point q) { return distance(p, q) <= radius; });
    EXPECT_EQ(grid.count_near(p, radius), n);
  }
  EXPECT_EQ(PointGrid(1).count_near({0, 0}, 5), 0);
}

}  // namespace
}  // namespace buckram::geometry
