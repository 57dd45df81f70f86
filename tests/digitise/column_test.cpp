// Rungs, rails, ends and the needle's way along columns. Expected values are the recipe's own
// numbers and plain geometry of the shapes; coverage is measured by polygon union.
#include "digitise/column.h"

#include "digitise/column_under.h"
#include "digitise/stay_inside.h"
#include "digitise/strip_shapes.h"

#include <gtest/gtest.h>

#include <algorithm>

namespace buckram::digitise {
namespace {

using geometry::Point;
using geometry::Polyline;
using strips::bare_recipe;

ColumnFit fit(const geometry::Polygon& cell, const Recipe& recipe) {
  const StripAxis axis = strip_axis(cell);
  EXPECT_TRUE(axis.spine.has_value());
  return fit_column(cell, *axis.spine, recipe);
}

TEST(Column, RungsOfARectangleStandAtHalfTheSpacing) {
  const Recipe recipe = bare_recipe();
  const ColumnFit made = fit(strips::rectangle(20, 3), recipe);
  EXPECT_GT(made.covered, 0.99);
  const auto& rungs = made.column.rungs;
  ASSERT_GT(rungs.size(), 90u);
  const double inset = (0.5 - kScallop) * recipe.thread_mm;
  for (std::size_t i = 1; i < rungs.size(); ++i) {
    EXPECT_NEAR(geometry::distance(rungs[i].left, rungs[i - 1].left), recipe.column_mm / 2, 0.02);
    EXPECT_NEAR(std::abs(rungs[i].left.y - rungs[i].right.y), 3 - 2 * inset, 0.02);
  }
}

Polyline top_of(const geometry::Polygon& cell, const ColumnFit& made, const Recipe& recipe) {
  const Way way = column_ways(made.column, {cell}, recipe).front();
  for (const Piece& piece : sew_column(made.column, {cell}, way, recipe, {false, false}))
    if (piece.layer == stitch::Layer::top) return piece.points;
  return {};
}

// Right to the ends: the middles of the threads of a straight bar step by half the spacing.
TEST(Column, ThreadsStandEvenlyFromEndToEnd) {
  const Recipe recipe = bare_recipe();
  for (const double length : {3.1, 7.3, 20.0}) {
    const geometry::Polygon bar = strips::rectangle(length, 1.6);
    const Polyline top = top_of(bar, fit(bar, recipe), recipe);
    ASSERT_GT(top.size(), 10u);
    for (std::size_t i = 2; i < top.size(); ++i) {
      const double step = std::abs(top[i].x - top[i - 2].x) / 2;
      EXPECT_NEAR(step, recipe.column_mm / 2, 0.1 * recipe.column_mm / 2) << length << " " << i;
    }
  }
}

TEST(Column, BothEndsAreSquare) {
  const Recipe recipe = bare_recipe();
  const geometry::Polygon bar = strips::rectangle(12, 3);
  const Polyline top = top_of(bar, fit(bar, recipe), recipe);
  EXPECT_NEAR(top[0].x, top[1].x, 1e-6);
  EXPECT_NEAR(top[top.size() - 2].x, top.back().x, 1e-6);
}

// Short stitches never get shorter than a stitch may be, even where the column has no room.
TEST(Column, ShortStitchesOfNarrowCurvesKeepTheShortestStitch) {
  const Recipe recipe = bare_recipe();
  for (const double width : {1.2, 1.5, 2.0}) {
    const geometry::Polygon ring = strips::ring(width + 0.5, 0.5);
    const Polyline top = top_of(ring, fit(ring, recipe), recipe);
    for (std::size_t i = 1; i < top.size(); ++i)
      EXPECT_GT(geometry::distance(top[i - 1], top[i]), recipe.shortest_mm - 0.05) << width;
  }
}

TEST(Column, CompensationWidensTheRailsBySoMuchOnEachSide) {
  Recipe recipe = bare_recipe();
  const double bare = fit(strips::rectangle(20, 3), recipe).column.width_mm;
  recipe.compensation_mm = 0.2;
  EXPECT_NEAR(fit(strips::rectangle(20, 3), recipe).column.width_mm, bare + 0.4, 1e-6);
}

// Thin strokes are drawn out to the shortest stitch, by 0.3 mm at most: no stitch of a stroke from
// 0.8 mm is shorter, and thread never lies more than 0.25 mm past a stroke of half a millimetre.
TEST(Column, ThinStrokesAreDrawnOutToTheShortestStitch) {
  const Recipe recipe = bare_recipe();
  for (const double width : {0.5, 0.6, 0.7, 0.8, 0.9, 1.0}) {
    const geometry::Polygon bar = strips::rectangle(8, width);
    const ColumnFit made = fit(bar, recipe);
    for (const Rung& rung : made.column.rungs) {
      const double across = geometry::distance(rung.left, rung.right);
      EXPECT_LE((across + recipe.thread_mm - width) / 2, 0.25 + 1e-6) << width;
      const double least = width >= 0.75 ? recipe.shortest_mm : 0.6;
      EXPECT_GE(across, least - 1e-6) << width;
    }
  }
}

TEST(Column, ALeaningEndIsFollowed) {
  const Recipe recipe = bare_recipe();
  const geometry::Polygon bar{{{0, 0}, {20, 0}, {22, 3}, {2, 3}}, {}};
  const auto rungs = fit(bar, recipe).column.rungs;
  for (const Rung& rung : {rungs.front(), rungs.back()}) {
    const Point d = geometry::unit(rung.left - rung.right);
    EXPECT_NEAR(std::abs(geometry::cross(d, geometry::unit({2, 3}))), 0, 0.05);
  }
}

TEST(Column, ARingIsSewnAllRoundFromAnyOfItsPlaces) {
  const Recipe recipe = bare_recipe();
  const geometry::Polygon ring = strips::ring(8, 5.5);
  const ColumnFit made = fit(ring, recipe);
  ASSERT_TRUE(made.column.closed);
  EXPECT_EQ(made.column.rungs.size() % 2, 0u);
  const auto ways = column_ways(made.column, {ring}, recipe);
  EXPECT_EQ(ways.size(), 8u);
  for (const Way& way : ways) {
    const auto pieces = sew_column(made.column, {ring}, way, recipe, {true, true});
    EXPECT_EQ(pieces.front().points.front(), way.entry);
    EXPECT_EQ(pieces.back().points.back(), way.exit);
  }
}

// No two penetrations of one rail nearer than the inner gap, save where a short one stops between.
TEST(Column, ShortStitchesKeepTheInsideOfATightCurveFree) {
  const Recipe recipe = bare_recipe();
  const geometry::Polygon ring = strips::ring(3.4, 0.7);
  const auto pieces = [&] {
    const ColumnFit made = fit(ring, recipe);
    return sew_column(made.column, {ring}, column_ways(made.column, {ring}, recipe).front(), recipe,
                      {false, false});
  }();
  int n_close = 0, n = 0;
  for (const Piece& piece : pieces) {
    if (piece.layer != stitch::Layer::top) continue;
    for (std::size_t i = 0; i < piece.points.size(); ++i, ++n) {
      const bool crowded =
          std::any_of(piece.points.begin(), piece.points.begin() + static_cast<std::ptrdiff_t>(i),
                      [&](Point p) { return geometry::distance(p, piece.points[i]) < 0.15; });
      n_close += crowded;
    }
  }
  ASSERT_GT(n, 40);
  EXPECT_LE(n_close, n / 20);
}

TEST(Column, WiderThanTheLongestStitchIsSplitInABrickPattern) {
  Recipe recipe = bare_recipe();
  recipe.longest_mm = 3;
  const geometry::Polygon bar = strips::rectangle(20, 5);
  const ColumnFit made = fit(bar, recipe);
  const auto pieces = sew_column(
      made.column, {bar}, column_ways(made.column, {bar}, recipe).front(), recipe, {false, false});
  std::vector<double> splits;
  for (const Piece& piece : pieces) {
    for (std::size_t i = 1; i < piece.points.size(); ++i) {
      EXPECT_LE(geometry::distance(piece.points[i - 1], piece.points[i]), recipe.longest_mm + 1e-9);
      const double y = piece.points[i].y;
      if (piece.layer == stitch::Layer::top && y > 0.5 && y < 4.5) splits.push_back(y);
    }
  }
  ASSERT_GT(splits.size(), 50u);
  std::sort(splits.begin(), splits.end());
  int n_places = 1;  // distinct heights: more than one line of holes
  for (std::size_t i = 1; i < splits.size(); ++i) n_places += splits[i] - splits[i - 1] > 0.05;
  EXPECT_GE(n_places, 3);
}

// The thread's way before the top layer, ties left out.
Polyline under_of(const Column& column, const geometry::Polygon& cell, const Way& way,
                  const Recipe& recipe) {
  Polyline under;
  for (const Piece& piece : sew_column(column, {cell}, way, recipe, {false, false})) {
    if (piece.layer == stitch::Layer::under)
      under.insert(under.end(), piece.points.begin(), piece.points.end());
  }
  return under;
}

// In at one end and out there, over the whole range of widths: from the run that only leads to the
// far end to the zigzag.
TEST(Column, AWayThatReturnsEntersAndLeavesAtOneEnd) {
  const Recipe recipe = bare_recipe();
  int n_returning = 0;
  for (const double width : {0.7, 0.9, 1.5, 2.5, 4.0, 6.0}) {
    const geometry::Polygon bar = strips::rectangle(20, width);
    const Column column = fit(bar, recipe).column;
    const stitch::Within cloth = allowed_cloth({bar}, recipe);
    for (const Way& way : column_ways(column, {bar}, recipe)) {
      const bool is_returning = geometry::distance(way.entry, way.exit) < 10;
      EXPECT_EQ(is_returning, way.tag >= 2) << width;
      if (!is_returning) continue;
      ++n_returning;
      for (const bool tie : {false, true}) {
        const auto pieces = sew_column(column, {bar}, way, recipe, {tie, tie});
        EXPECT_EQ(pieces.front().points.front(), way.entry) << width;
        EXPECT_EQ(pieces.back().points.back(), way.exit) << width;
        EXPECT_TRUE(stays_inside(pieces, cloth)) << width;
      }
      // It reaches the far end, where the top layer begins.
      const Polyline under = under_of(column, bar, way, recipe);
      ASSERT_GE(under.size(), 2u) << width;
      EXPECT_GT(std::abs(under.back().x - under.front().x), 15) << width;
    }
  }
  EXPECT_EQ(n_returning, 12);  // both ends of each
}

// A path sewn twice would be a ridge: no stitch of the under-stitching lies on another.
TEST(Column, UnderStitchingThatRunsAheadSewsNoPathTwice) {
  const Recipe recipe = bare_recipe();
  int n_pairs = 0;
  for (const double width : {0.7, 1.5, 3.5, 6.0}) {
    const geometry::Polygon bar = strips::rectangle(25, width);
    const Column column = fit(bar, recipe).column;
    for (const Way& way : column_ways(column, {bar}, recipe)) {
      if (way.tag < 2) continue;
      const Polyline under = under_of(column, bar, way, recipe);
      for (std::size_t i = 1; i < under.size(); ++i) {
        EXPECT_GE(geometry::distance(under[i - 1], under[i]), recipe.shortest_mm - 1e-9) << width;
        const Point here = geometry::mix(under[i - 1], under[i], 0.5);
        for (std::size_t k = 1; k + 1 < i; ++k, ++n_pairs) {
          EXPECT_GT(geometry::distance(here, geometry::mix(under[k - 1], under[k], 0.5)), 0.25)
              << width;
        }
      }
    }
  }
  EXPECT_GT(n_pairs, 500);
}

TEST(Column, ASpeckHasNoWayThatReturns) {
  const Recipe recipe = bare_recipe();
  const geometry::Polygon speck = strips::rectangle(1.2, 1.0);
  const auto spine = straight_spine(speck);
  ASSERT_TRUE(spine.has_value());
  const auto ways = column_ways(fit_column(speck, *spine, recipe).column, {speck}, recipe);
  ASSERT_EQ(ways.size(), 2u);
  EXPECT_EQ(ways[0].tag, 0);
  EXPECT_EQ(ways[1].tag, 1);
}

TEST(Column, UnderStitchingIsLighterOnCaps) {
  for (double width = 0.2; width < 8; width += 0.1) {
    EXPECT_LE(under_kind(width, Style::cap), under_kind(width, Style::flat)) << width;
  }
  EXPECT_EQ(under_kind(0.5, Style::cap), UnderKind::none);
  EXPECT_EQ(under_kind(2, Style::cap), UnderKind::centre);
  EXPECT_EQ(under_kind(4, Style::cap), UnderKind::edge);
  EXPECT_EQ(under_kind(6, Style::cap), UnderKind::zigzag);
}

TEST(Spine, OfARectangleIsItsMiddleLineFromEdgeToEdge) {
  const StripAxis axis = strip_axis(strips::rectangle(20, 3));
  ASSERT_TRUE(axis.spine);
  EXPECT_NEAR(axis.typical_mm, 3, 0.01);
  EXPECT_NEAR(geometry::length(axis.spine->line), 20, 0.05);
  for (const Point& p : axis.spine->line) EXPECT_NEAR(p.y, 1.5, 0.01);
}

TEST(Spine, OfARingIsItsMiddleCircle) {
  const StripAxis axis = strip_axis(strips::ring(8, 6));
  ASSERT_TRUE(axis.spine && axis.spine->closed);
  for (const Point& p : axis.spine->line) EXPECT_NEAR(geometry::norm(p), 7, 0.03);
}

// Both ends run to points; a middle line that lost one arm would be half as long.
TEST(Spine, OfACrescentKeepsBothHorns) {
  geometry::Polygon crescent;
  for (int i = 0; i <= 90; ++i) {
    const double a = base::kPi * i / 90;
    crescent.outer.push_back({10 * std::cos(a), 10 * std::sin(a)});
  }
  for (int i = 89; i > 0; --i) {
    const double a = base::kPi * i / 90;
    crescent.outer.push_back({10 * std::cos(a), 7 * std::sin(a)});
  }
  const StripAxis axis = strip_axis(crescent);
  ASSERT_TRUE(axis.spine);
  EXPECT_GT(geometry::length(axis.spine->line), 24);
}

}  // namespace
}  // namespace buckram::digitise
