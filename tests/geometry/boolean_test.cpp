// Booleans, offsets and strokes against GEOS 3.11 (an independent library) on seeded shapes. What
// this cannot see: errors below the snapping grid, which the tolerances leave room for.
#include "geometry/geometry.h"
#include "support/geos_oracle.h"
#include "support/random_polygons.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace buckram::geometry {
namespace {

using test::Geos;

// Snapping moves an outline by at most the grid's diagonal; crossings that move with their
// edges, by a little more.
double snap_tolerance(const Polygons& polygons) {
  return 1e-6 + perimeter(polygons) * 2 * kGridMm;
}

// Every ring runs the right way and every hole lies in its own outer ring.
void expect_well_formed(const Polygons& polygons) {
  for (const Polygon& polygon : polygons) {
    ASSERT_GE(polygon.outer.size(), 3u);
    EXPECT_GT(area(std::span<const Point>(polygon.outer)), 0);
    for (const Ring& hole : polygon.holes) {
      ASSERT_GE(hole.size(), 3u);
      EXPECT_LT(area(std::span<const Point>(hole)), 0);
      int n_outside = 0;
      for (const Point p : hole) {
        n_outside += !contains(Polygon{polygon.outer, {}}, p) &&
                     distance_to_outline({polygon}, p) > 2 * kGridMm;
      }
      // the ring's own outline is part of the polygon's, so points on it are at distance 0
      EXPECT_EQ(n_outside, 0);
      EXPECT_TRUE(bounds(std::span<const Point>(polygon.outer))
                      .meets(bounds(std::span<const Point>(hole))));
    }
  }
}

struct Case {
  std::uint64_t seed;
  Polygons a, b;
};

Case random_case(std::uint64_t seed) {
  base::Random random(seed);
  Polygons a, b;
  if (seed % 3 == 0) {
    // Up to ten corners on 9 x 9 places. With forty, Clipper itself errs by a cell in 12 of 4,000
    // tangles; see polygon.h.
    const int n = 4 + random.below(7);
    a = unite({test::grid_tangle(random, n, 9)}, FillRule::evenodd);
    b = unite({test::grid_tangle(random, n, 9)}, FillRule::evenodd);
  } else {
    const int n = 5 + random.below(60);
    a = {test::holed_star(random, n, 10)};
    const double turn = random.uniform(0, 6);
    const double shift = random.uniform(-6, 6);
    b = transformed(Polygons{test::holed_star(random, n, 10)}, rotation(turn));
    b = transformed(b, Affine{1, 0, 0, 1, shift, shift / 2});
  }
  return {seed, a, b};
}

TEST(Boolean, AgreesWithGeosOnRandomShapes) {
  const Geos geos;
  int n_with_area = 0;
  for (std::uint64_t seed = 1; seed <= 300; ++seed) {
    SCOPED_TRACE(seed);
    const Case c = random_case(seed);
    const auto ga = geos.shape(c.a), gb = geos.shape(c.b);
    const double tolerance = snap_tolerance(c.a) + snap_tolerance(c.b);
    const Polygons both = intersect(c.a, c.b);
    if (!geos.is_valid(ga) || !geos.is_valid(gb)) continue;  // rings that touch along an edge
    EXPECT_LT(geos.difference(geos.unite(ga, gb), geos.shape(unite(c.a, c.b))), tolerance);
    EXPECT_LT(geos.difference(geos.intersect(ga, gb), geos.shape(both)), tolerance);
    EXPECT_LT(geos.difference(geos.subtract(ga, gb), geos.shape(subtract(c.a, c.b))), tolerance);
    for (const Polygons& result : {unite(c.a, c.b), both, subtract(c.a, c.b)}) {
      expect_well_formed(result);
    }
    n_with_area += area(both) > 1;
  }
  EXPECT_GT(n_with_area, 150);
}

TEST(Boolean, EvenOddUnionOfTanglesAgreesWithGeos) {
  const Geos geos;
  double total = 0;
  for (std::uint64_t seed = 1; seed <= 150; ++seed) {
    SCOPED_TRACE(seed);
    base::Random random(seed);
    const int n = 4 + random.below(seed % 2 ? 25 : 7);
    const Ring ring = seed % 2 ? test::tangle(random, n, 10) : test::grid_tangle(random, n, 6);
    const Polygons ours = unite({ring}, FillRule::evenodd);
    expect_well_formed(ours);
    const auto theirs = geos.even_odd(ring);
    // Areas, as our result may touch itself, which GEOS does not take as an operand.
    EXPECT_NEAR(area(ours), geos.area(theirs), 1e-6 + 2e-4 * perimeter(ours) + 2e-3);
    total += area(ours);
  }
  EXPECT_GT(total, 1000);
}

TEST(Boolean, InclusionExclusionHolds) {
  for (std::uint64_t seed = 1; seed <= 300; ++seed) {
    SCOPED_TRACE(seed);
    const Case c = random_case(seed);
    const double sum = area(unite(c.a, c.b)) + area(intersect(c.a, c.b));
    EXPECT_NEAR(sum, area(c.a) + area(c.b), snap_tolerance(c.a) + snap_tolerance(c.b));
    EXPECT_NEAR(area(subtract(c.a, c.b)) + area(intersect(c.a, c.b)), area(c.a),
                snap_tolerance(c.a) + snap_tolerance(c.b));
  }
}

TEST(Boolean, DegenerateRingsGiveNothing) {
  EXPECT_TRUE(unite(std::vector<Ring>{}, FillRule::nonzero).empty());
  EXPECT_TRUE(unite({Ring{}}, FillRule::nonzero).empty());
  EXPECT_TRUE(unite({Ring{{1, 1}}}, FillRule::nonzero).empty());
  EXPECT_TRUE(unite({Ring{{0, 0}, {1, 0}}}, FillRule::evenodd).empty());
  EXPECT_TRUE(unite({Ring{{0, 0}, {1, 0}, {2, 0}, {0, 0}}}, FillRule::evenodd).empty());
  EXPECT_TRUE(intersect({}, {Polygon{test::rectangle(0, 0, 1, 1), {}}}).empty());
  EXPECT_TRUE(subtract({}, {Polygon{test::rectangle(0, 0, 1, 1), {}}}).empty());
}

TEST(Boolean, CoordinatesThatCannotBeWorkedOnAreRefused) {
  constexpr double kInf = std::numeric_limits<double>::infinity();
  for (const double bad : {kInf, -kInf, std::nan(""), 1e300, 2e5}) {
    EXPECT_THROW(unite({Ring{{0, 0}, {bad, 0}, {1, 1}}}, FillRule::nonzero), base::Error);
  }
}

TEST(Offset, RoundAgreesWithGeosBuffer) {
  const Geos geos;
  int n_kept = 0;
  for (std::uint64_t seed = 1; seed <= 150; ++seed) {
    SCOPED_TRACE(seed);
    base::Random random(seed);
    const int n = 5 + random.below(40);
    const double distance_mm = random.uniform(-1.5, 1.5);
    const Polygons shape{test::holed_star(random, n, 10)};
    const Polygons ours = offset(shape, distance_mm);
    expect_well_formed(ours);
    const auto theirs = geos.buffer(geos.shape(shape), distance_mm);
    EXPECT_LT(geos.difference(theirs, geos.shape(ours)),
              0.005 * (perimeter(ours) + perimeter(shape)) / 2 + 1e-3);
    n_kept += !ours.empty();
  }
  EXPECT_GT(n_kept, 100);
}

TEST(Offset, ClosedForms) {
  const Polygons square{Polygon{test::rectangle(0, 0, 10, 10), {}}};
  EXPECT_NEAR(area(offset(square, -2)), 36, 1e-6);
  EXPECT_NEAR(area(offset(square, 2, Join::miter)), 196, 1e-6);
  // bevel: four corner triangles of half a square each are missing
  EXPECT_NEAR(area(offset(square, 2, Join::bevel)), 196 - 4 * 2, 1e-6);
  EXPECT_NEAR(area(offset(square, 2, Join::round, 1e-4)), 100 + 80 + std::numbers::pi * 4, 2e-3);
  EXPECT_TRUE(offset(square, -5.01).empty());
  EXPECT_NEAR(area(offset(square, 0)), 100, 1e-9);
  // a square ring: the hole shrinks as the outside grows
  const Polygons frame = subtract(square, {Polygon{test::rectangle(3, 3, 7, 7), {}}});
  EXPECT_NEAR(area(offset(frame, 1, Join::miter)), 144 - 4, 1e-6);
  EXPECT_NEAR(area(offset(frame, -1)), 64 - (16 + 16 + std::numbers::pi), 2e-2);
}

TEST(Offset, DenseOutlineStaysFastAndTrue) {
  base::Random random(7);
  const Ring ring = test::noisy_circle(random, 40'000, 20, 0.0005);
  const Polygons grown = offset({Polygon{ring, {}}}, 0.3);
  EXPECT_NEAR(area(grown), std::numbers::pi * 20.3 * 20.3, 0.7);
  EXPECT_LT(grown.front().outer.size(), 4000u);
}

TEST(Slivers, GoAndCornersStay) {
  const Polygons plus = unite({Polygon{test::rectangle(0, 0, 10, 10), {}}},
                              {Polygon{test::rectangle(10, 4.9, 20, 5.1), {}}});
  EXPECT_NEAR(area(without_slivers(plus, 0.5, 0)), 100, 1e-2);
  const Polygons triangle{Polygon{{{0, 0}, {10, 0}, {5, 8}}, {}}};
  EXPECT_NEAR(area(without_slivers(triangle, 0.5, 0)), area(triangle), 1e-3);
  EXPECT_TRUE(without_slivers({Polygon{test::rectangle(0, 0, 10, 0.3), {}}}, 0.5, 0).empty());
  EXPECT_TRUE(without_slivers({Polygon{test::rectangle(0, 0, 1, 1), {}}}, 0.1, 2).empty());
}

TEST(Slivers, ResultLiesInsideTheOriginal) {
  for (std::uint64_t seed = 1; seed <= 100; ++seed) {
    SCOPED_TRACE(seed);
    const Case c = random_case(seed);
    const Polygons kept = without_slivers(c.a, 0.3, 0.01);
    EXPECT_LT(area(subtract(kept, c.a)), snap_tolerance(c.a));
  }
}

TEST(Simplify, NoPointOfTheOldOutlineIsFartherThanTheTolerance) {
  for (std::uint64_t seed = 1; seed <= 40; ++seed) {
    SCOPED_TRACE(seed);
    base::Random random(seed);
    const Ring ring = test::noisy_circle(random, 400, 10, 0.01);
    const Polygons thin = simplify(Polygons{{ring, {}}}, 0.05);
    ASSERT_EQ(thin.size(), 1u);
    EXPECT_LT(thin.front().outer.size(), ring.size() / 3);
    for (const Point p : ring) EXPECT_LE(distance_to_outline(thin, p), 0.05 + 2 * kGridMm);
  }
}

}  // namespace
}  // namespace buckram::geometry
