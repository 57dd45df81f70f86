// Strokes: closed forms of SVG's rules (SVG 1.1, 11.4) and GEOS's line buffer, which draws round
// and flat caps with round joins by the same definition.
#include "geometry/geometry.h"
#include "support/geos_oracle.h"
#include "support/random_polygons.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace buckram::geometry {
namespace {

constexpr double kPi = std::numbers::pi;
constexpr double kFine = 1e-5;  // arc tolerance where areas are compared

TEST(Stroke, StraightLineWithEachCap) {
  const Polyline line{{0, 0}, {10, 0}};
  EXPECT_NEAR(area(stroke_outline(line, 2, false, Join::miter, Cap::butt)), 20, 1e-6);
  EXPECT_NEAR(area(stroke_outline(line, 2, false, Join::miter, Cap::square)), 24, 1e-6);
  EXPECT_NEAR(area(stroke_outline(line, 2, false, Join::miter, Cap::round, 4, kFine)), 20 + kPi,
              1e-3);
}

TEST(Stroke, LineOfNoLengthShowsItsCaps) {
  for (const Polyline& line : {Polyline{{3, 3}}, Polyline{{3, 3}, {3, 3}}}) {
    for (const bool closed : {false, true}) {
      EXPECT_NEAR(area(stroke_outline(line, 2, closed, Join::miter, Cap::round, 4, kFine)), kPi,
                  1e-3);
      const Polygons square = stroke_outline(line, 2, closed, Join::miter, Cap::square);
      EXPECT_NEAR(area(square), 4, 1e-9);
      EXPECT_NEAR(bounds(square).x0, 2, 1e-9);
      EXPECT_TRUE(stroke_outline(line, 2, closed, Join::miter, Cap::butt).empty());
    }
  }
  EXPECT_TRUE(stroke_outline({}, 2, false, Join::miter, Cap::round).empty());
  EXPECT_TRUE(stroke_outline({{0, 0}, {1, 0}}, 0, false, Join::miter, Cap::round).empty());
}

TEST(Stroke, MiterTurnsToBevelAboveTheLimit) {
  // Between segments at angle theta the miter is 1 / sin(theta / 2) widths long.
  for (const double degrees : {150.0, 90.0, 60.0, 40.0, 29.5, 28.5, 20.0, 5.0}) {
    SCOPED_TRACE(degrees);
    const double theta = degrees * kPi / 180, leg = 200, h = 1;
    const Polyline line{{leg, 0}, {0, 0}, {leg * std::cos(theta), leg * std::sin(theta)}};
    const Polygons outline = stroke_outline(line, 2 * h, false, Join::miter, Cap::butt, 4);
    const double ratio = 1 / std::sin(theta / 2);
    // How far the outline reaches against the bisector: the tip of the miter or of the bevel.
    const Point out{-std::cos(theta / 2), -std::sin(theta / 2)};
    double reach = 0;
    for (const Point p : outline.front().outer) reach = std::max(reach, dot(p, out));
    EXPECT_NEAR(reach, ratio <= 4 ? h * ratio : h * std::sin(theta / 2), 2e-4);
  }
}

TEST(Stroke, TurningBackIsRoundOrFlat) {
  const Polyline line{{0, 0}, {10, 0}, {4, 0}};
  EXPECT_NEAR(area(stroke_outline(line, 2, false, Join::round, Cap::butt, 4, kFine)), 20 + kPi / 2,
              1e-3);
  EXPECT_NEAR(area(stroke_outline(line, 2, false, Join::miter, Cap::butt)), 20, 1e-6);
  EXPECT_NEAR(area(stroke_outline(line, 2, false, Join::bevel, Cap::butt)), 20, 1e-6);
}

TEST(Stroke, ClosedSquareHasAHole) {
  const Polyline square = test::rectangle(0, 0, 10, 10);
  const Polygons outline = stroke_outline(square, 2, true, Join::miter, Cap::butt);
  ASSERT_EQ(outline.size(), 1u);
  EXPECT_EQ(outline.front().holes.size(), 1u);
  EXPECT_NEAR(area(outline), 144 - 64, 1e-6);
  // thicker than the square: the hole is gone
  EXPECT_NEAR(area(stroke_outline(square, 12, true, Join::miter, Cap::butt)), 22 * 22, 1e-6);
}

TEST(Stroke, PlacesCrossedTwiceCountOnce) {
  const Polyline cross{{-10, 0}, {10, 0}, {10, 10}, {0, 10}, {0, -10}};
  const Polygons outline = stroke_outline(cross, 2, false, Join::miter, Cap::butt);
  // five-fold line of 20 + 10 + 10 + 20, corners squared by miters, one crossing square shared
  EXPECT_NEAR(area(outline), 2 * 60 - 4, 1e-6);
}

TEST(Stroke, RoundStrokesAgreeWithGeosLineBuffer) {
  const test::Geos geos;
  for (std::uint64_t seed = 1; seed <= 120; ++seed) {
    SCOPED_TRACE(seed);
    base::Random random(seed);
    const int n = 2 + random.below(12);
    const Polyline line = seed % 3 ? test::tangle(random, n, 10) : test::grid_tangle(random, n, 5);
    if (length(line) < 1e-9) continue;
    const double width = random.uniform(0.2, 4);
    const Polygons ours = stroke_outline(line, width, false, Join::round, Cap::round);
    const auto theirs = geos.buffer(geos.line(line), width / 2);
    EXPECT_LT(geos.difference(theirs, geos.shape(ours)), 0.005 * perimeter(ours) + 1e-3);
  }
}

}  // namespace
}  // namespace buckram::geometry
