// Whole fills, as sewn. Coverage is measured exactly: the union of the thread's capsules
// against the outline (polygon booleans; geometry's own tests check those against GEOS).
#include "digitise/fill.h"

#include "base/base.h"
#include "digitise/fill_sew.h"
#include "digitise/fill_shapes.h"

#include <gtest/gtest.h>

namespace buckram::digitise {
namespace {

using geometry::Point;
using stitch::Layer;

Fill fill_of(const geometry::Polygons& area, const Recipe& recipe) {
  return {area, fill_angle(area, recipe)};
}

geometry::Polygons thread_of(const std::vector<Piece>& pieces, double width_mm) {
  std::vector<geometry::Polygons> capsules;
  for (const Piece& piece : pieces)
    for (std::size_t i = 0; piece.layer == Layer::top && i + 1 < piece.points.size(); ++i)
      capsules.push_back(geometry::stroke_outline({piece.points[i], piece.points[i + 1]}, width_mm,
                                                  false, geometry::Join::round,
                                                  geometry::Cap::round));
  return geometry::unite(capsules);
}

struct Cover {
  double missed = 0, spilled = 0;  // per cent of the outline's area; spilled by more than 0.2 mm
  double thread = 0;               // on the top layer, against area / row spacing
};

Cover cover(const std::vector<Piece>& pieces, const geometry::Polygons& outline,
            const Recipe& recipe) {
  const geometry::Polygons thread = thread_of(pieces, recipe.thread_mm);
  const double all = geometry::area(outline);
  double length = 0;
  for (const Piece& piece : pieces)
    if (piece.layer == Layer::top) length += geometry::length(piece.points);
  return {100 * geometry::area(geometry::subtract(outline, thread)) / all,
          100 * geometry::area(geometry::subtract(thread, geometry::offset(outline, 0.2))) / all,
          length * recipe.row_mm / all};
}

// Straight rows of exactly the thread's width, cut by the outline: the baseline to beat.
double baseline_error(const Fill& fill, const Recipe& recipe) {
  std::vector<Piece> rows;
  const double c = std::cos(fill.angle_rad), s = std::sin(fill.angle_rad);
  for (const geometry::Row& row : geometry::hatch(fill.area, fill.angle_rad, recipe.row_mm, 0.2))
    for (const geometry::Span& span : row.spans)
      rows.push_back({Layer::top,
                      {geometry::row_point(c, s, span.from, row.offset),
                       geometry::row_point(c, s, span.to, row.offset)}});
  const geometry::Polygons thread = thread_of(rows, recipe.thread_mm);
  return 100 *
         (geometry::area(geometry::subtract(fill.area, thread)) +
          geometry::area(geometry::subtract(thread, fill.area))) /
         geometry::area(fill.area);
}

TEST(Fill, CoversWithinTheOutline) {
  Recipe recipe;
  recipe.compensation_mm = 0;
  for (const shapes::Shape& shape : shapes::all()) {
    const Fill fill = fill_of(shape.area, recipe);
    const Way way = fill_ways(fill, recipe).front();
    const Cover got = cover(sew_fill(fill, shape.area, way, recipe, {}), shape.area, recipe);
    EXPECT_LE(got.missed, 0.8) << shape.name;
    EXPECT_LE(got.spilled, 0.05) << shape.name;
    EXPECT_LE(got.thread, 1.12) << shape.name;
  }
}

TEST(Fill, BeatsStraightRowsOnBlobs) {
  Recipe recipe;
  recipe.compensation_mm = 0;
  for (std::uint64_t seed = 1; seed <= 8; ++seed) {
    const Fill fill = fill_of(shapes::blob(seed, 30, 0), recipe);
    const Cover got = cover(sew_fill(fill, fill.area, fill_ways(fill, recipe).front(), recipe, {}),
                            fill.area, recipe);
    EXPECT_LT(got.missed + got.spilled, 0.5 * baseline_error(fill, recipe)) << "seed " << seed;
  }
}

// Rows a thread's width apart leave no cloth between them: what is bare lies at the outline, where
// round ends meet it, and nowhere more than the thread's half width inside. Exact, by capsules.
TEST(Fill, LeavesNoSlitsBesideShallowEdges) {
  Recipe recipe;
  recipe.compensation_mm = 0;
  for (double lean = 10; lean <= 60; lean += 2.5) {
    const geometry::Affine turn = geometry::rotation(lean * base::kPi / 180);
    geometry::Ring bar = shapes::rect(0, 0, 34, 15);
    for (Point& p : bar) p = turn(p);
    const Fill fill{{{bar, {}}}, 0};
    const Way way = fill_ways(fill, recipe).front();
    const geometry::Polygons bare =
        geometry::subtract(geometry::offset(fill.area, -recipe.thread_mm / 2),
                           thread_of(sew_fill(fill, fill.area, way, recipe, {}), recipe.thread_mm));
    EXPECT_LE(geometry::area(bare), 0.1) << lean << " degrees";
  }
}

TEST(Fill, KeepsItsWayWithoutALift) {
  const Recipe recipe;
  int ways = 0;
  for (const shapes::Shape& shape : shapes::all()) {
    const Fill fill = fill_of(shape.area, recipe);
    const geometry::Polygons outline = geometry::offset(shape.area, recipe.compensation_mm);
    const std::vector<Way> offered = fill_ways(fill, recipe);
    EXPECT_GE(offered.size(), 4u) << shape.name;
    EXPECT_LE(offered.size(), 12u) << shape.name;
    for (const Way& way : offered) {
      const std::vector<Piece> pieces = sew_fill(fill, outline, way, recipe, {});
      ASSERT_FALSE(pieces.empty());
      EXPECT_EQ(pieces.front().points.front(), way.entry) << shape.name;
      EXPECT_EQ(pieces.back().points.back(), way.exit) << shape.name;
      EXPECT_EQ(pieces.front().layer, Layer::lock) << shape.name;
      EXPECT_EQ(pieces.back().layer, Layer::lock) << shape.name;
      const Point* last = nullptr;
      for (const Piece& piece : pieces)
        for (const Point& p : piece.points) {
          if (last != nullptr) {
            EXPECT_LE(geometry::distance(*last, p), recipe.longest_mm) << shape.name;
            EXPECT_GT(geometry::distance(*last, p), 0) << shape.name;
          }
          last = &p;
        }
      ++ways;
    }
  }
  EXPECT_GT(ways, 100);
}

// The limits' own words: a stitch may be short where the rows before and after run against each
// other, and in rows under three shortest stitches.
TEST(Fill, ShortStitchesOnlyAtRowTurns) {
  const Recipe recipe;
  int turns = 0, too_short = 0, all = 0;
  for (const shapes::Shape& shape : shapes::all()) {
    const Fill fill = fill_of(shape.area, recipe);
    for (const Piece& piece : sew_fill(fill, {}, fill_ways(fill, recipe).front(), recipe, {})) {
      if (piece.layer != Layer::top) continue;
      const geometry::Polyline& p = piece.points;
      for (std::size_t i = 2; i + 1 < p.size(); ++i, ++all) {
        const double mm = geometry::distance(p[i - 1], p[i]);
        EXPECT_GE(mm, 0.25 - 1e-9) << shape.name;
        if (mm >= recipe.shortest_mm - 1e-9) continue;
        geometry::dot(p[i - 1] - p[i - 2], p[i + 1] - p[i]) < 0 ? ++turns : ++too_short;
      }
    }
  }
  EXPECT_GT(turns, 1000);
  EXPECT_LE(too_short, all / 200);
}

// Hidden thread keeps its edge inside the outline. Travel may cut a corner that is too near to
// another penetration to have one of its own; that is rare and shallow.
TEST(Fill, TravelAndUnderStitchingLieUnderTheRows) {
  const Recipe recipe;
  int stitches = 0, cut_corners = 0;
  for (const shapes::Shape& shape : shapes::all()) {
    const Fill fill = fill_of(shape.area, recipe);
    const geometry::Polygons outline = geometry::offset(shape.area, recipe.compensation_mm);
    const geometry::Polygons room = geometry::offset(outline, -recipe.thread_mm / 2 + 0.12);
    const geometry::Polygons at_worst = geometry::offset(outline, 0.12);
    bool top_seen = false;
    for (const Piece& piece : sew_fill(fill, outline, fill_ways(fill, recipe).back(), recipe, {})) {
      const bool under = piece.layer == Layer::under;
      EXPECT_FALSE(under && top_seen) << shape.name;
      top_seen |= piece.layer == Layer::top;
      if (!under && piece.layer != Layer::travel) continue;
      for (std::size_t i = 0; i + 1 < piece.points.size(); ++i, ++stitches) {
        const Point from = piece.points[i], to = piece.points[i + 1];
        EXPECT_TRUE(geometry::inside(from, to, at_worst))
            << shape.name << " " << from.x << "," << from.y << " to " << to.x << "," << to.y;
        if (!geometry::inside(from, to, room)) ++cut_corners;
      }
    }
  }
  EXPECT_GT(stitches, 5000);
  EXPECT_LE(cut_corners, stitches / 1000);
}

TEST(Fill, PlansKeepTheCraftLimits) {
  const Recipe recipe;
  for (const shapes::Shape& shape : shapes::all()) {
    const Fill fill = fill_of(shape.area, recipe);
    const geometry::Polygons outline = geometry::offset(shape.area, recipe.compensation_mm);
    Object object;
    object.id = 1, object.shape = fill, object.outline = outline;
    for (const Way& way : fill_ways(fill, recipe)) {
      stitch::Builder builder({{}}, {{1, stitch::Kind::fill, 0, "", ""}});
      for (const Piece& piece : sew(object, way, recipe, {})) {
        builder.begin(1, piece.layer);
        for (Point p : piece.points) builder.sew(p);
      }
      builder.trim();
      for (const stitch::Breach& breach : stitch::breaches(builder.finish(), {}, {{1, outline}}))
        ADD_FAILURE() << shape.name << ": " << breach.rule << " at " << breach.at.x << ","
                      << breach.at.y;
    }
  }
}

TEST(Fill, LocksStayInside) {
  const Recipe recipe;
  int locks = 0;
  for (const shapes::Shape& shape : shapes::all()) {
    const Fill fill = fill_of(shape.area, recipe);
    const geometry::Polygons outline = geometry::offset(shape.area, recipe.compensation_mm);
    for (const Way& way : fill_ways(fill, recipe))
      for (const Piece& piece : sew_fill(fill, outline, way, recipe, {})) {
        if (piece.layer != Layer::lock) continue;
        ++locks;
        for (Point p : piece.points) EXPECT_TRUE(geometry::contains(outline, p)) << shape.name;
      }
    for (const Piece& piece :
         sew_fill(fill, outline, fill_ways(fill, recipe)[0], recipe, {false, false}))
      EXPECT_NE(piece.layer, Layer::lock);
  }
  EXPECT_GT(locks, 200);
}

TEST(Fill, RowsAreEven) {
  const Recipe recipe;
  const Fill fill{shapes::joined({shapes::rect(0, 0, 31, 17)}), 0};
  std::vector<double> heights;
  for (const Piece& piece : sew_fill(fill, {}, fill_ways(fill, recipe).front(), recipe, {}))
    for (Point p : piece.points)
      if (piece.layer == Layer::top) heights.push_back(p.y);
  std::sort(heights.begin(), heights.end());
  // the thread's edge on the compensated outline, half a thread beyond the outer rows
  EXPECT_NEAR(heights.front() - recipe.thread_mm / 2, -recipe.compensation_mm, 1e-3);
  EXPECT_NEAR(heights.back() + recipe.thread_mm / 2, 17 + recipe.compensation_mm, 1e-3);
  int gaps = 0;
  for (std::size_t i = 1; i < heights.size(); ++i) {
    const double gap = heights[i] - heights[i - 1];
    if (gap < 0.01) continue;
    ++gaps;
    EXPECT_LE(gap, recipe.row_mm + 1e-9);
    EXPECT_GE(gap, 0.95 * recipe.row_mm);
  }
  EXPECT_GT(gaps, 40);
}

// Law of brick_offset: no two of four neighbouring rows have penetrations within a tenth of a
// stitch.
TEST(Fill, BricksMakeNoGrooves) {
  double least = 1;
  for (int row = 0; row < 5000; ++row)
    for (int other = row + 1; other <= row + 3; ++other) {
      const double d = std::abs(brick_offset(row) - brick_offset(other));
      least = std::min({least, d, 1 - d});
    }
  EXPECT_GE(least, 0.1);
  EXPECT_LE(least, 0.146 + 1e-3) << "the golden section's own least distance, 0.1459, less scatter";
}

TEST(Fill, AngleBreaksFewestRows) {
  const Recipe recipe;
  // a comb's teeth break rows that cross them, not rows along them
  EXPECT_NEAR(fill_angle(shapes::comb(), recipe), base::kPi / 2, 0.2);
  EXPECT_EQ(fill_angle({}, recipe), 0);
}

TEST(Fill, SewsWhateverItIsGiven) {
  const Recipe recipe;
  base::Random random(77);
  int sewn = 0;
  for (int i = 0; i < 400; ++i) {
    // scribbles made simple by a union: specks, slivers, needle-thin arms, many holes
    geometry::Ring ring;
    const int n = 3 + random.below(25);
    const double size = std::exp(random.uniform(-2.5, 3));
    for (int k = 0; k < n; ++k) {
      const double x = random.uniform(-size, size);
      const double y = random.uniform(-size, size) * random.uniform(0.02, 1);
      ring.push_back({x, y});
    }
    const geometry::Polygons area =
        shapes::largest(geometry::unite({ring}, geometry::FillRule::evenodd));
    if (area.empty()) continue;
    const Fill fill = fill_of(area, recipe);
    for (const Way& way : fill_ways(fill, recipe)) {
      const std::vector<Piece> pieces = sew_fill(fill, {}, way, recipe, {});
      ASSERT_FALSE(pieces.empty()) << "case " << i;
      EXPECT_EQ(pieces.front().points.front(), way.entry) << "case " << i;
      EXPECT_EQ(pieces.back().points.back(), way.exit) << "case " << i;
      for (const Piece& piece : pieces)
        for (Point p : piece.points)
          ASSERT_TRUE(std::isfinite(p.x) && std::isfinite(p.y)) << "case " << i;
      ++sewn;
    }
  }
  EXPECT_GT(sewn, 1000);
}

}  // namespace
}  // namespace buckram::digitise
