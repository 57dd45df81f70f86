#include "geometry/geometry.h"
#include "support/random_polygons.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>

namespace buckram::geometry {
namespace {

constexpr double kPi = std::numbers::pi;

double distance_to(const Polyline& line, Point p) {
  double best = std::numeric_limits<double>::infinity();
  for (std::size_t i = 1; i < line.size(); ++i) {
    const Point a = line[i - 1], d = line[i] - a;
    const double dd = dot(d, d);
    const double t = dd > 0 ? std::clamp(dot(p - a, d) / dd, 0.0, 1.0) : 0;
    best = std::min(best, distance(p, a + d * t));
  }
  return best;
}

// De Casteljau: another evaluation than the one under test.
Point casteljau(std::vector<Point> p, double t) {
  while (p.size() > 1) {
    for (std::size_t i = 0; i + 1 < p.size(); ++i) p[i] = mix(p[i], p[i + 1], t);
    p.pop_back();
  }
  return p.front();
}

TEST(Flatten, NoPointOfTheCurveIsFartherThanTheTolerance) {
  double n_points = 0;
  for (std::uint64_t seed = 1; seed <= 400; ++seed) {
    SCOPED_TRACE(seed);
    base::Random random(seed);
    std::vector<Point> p = test::tangle(random, seed % 2 ? 4 : 3, 10);
    if (seed % 10 == 0) p[1] = p[0];           // no first handle
    if (seed % 14 == 0) p[1] = p[2] * 50;      // a far handle
    if (seed % 22 == 0) p.back() = p.front();  // a loop
    const double tolerance = std::pow(10, random.uniform(-4, 0));
    Polyline line{p.front()};
    if (p.size() == 4) {
      flatten_cubic(p[0], p[1], p[2], p[3], tolerance, line);
    } else {
      flatten_quadratic(p[0], p[1], p[2], tolerance, line);
    }
    EXPECT_EQ(line.back(), p.back());
    n_points += static_cast<double>(line.size());
    for (int i = 0; i <= 200; ++i) {
      ASSERT_LE(distance_to(line, casteljau(p, i / 200.0)), tolerance * (1 + 1e-9));
    }
  }
  EXPECT_GT(n_points, 4000);
}

TEST(Flatten, HugeAndBrokenInputEnds) {
  constexpr double kInf = std::numeric_limits<double>::infinity();
  const double nan = std::nan("");
  for (const double bad : {1e300, 1e18, kInf, -kInf, nan}) {
    Polyline line;
    flatten_cubic({0, 0}, {bad, 0}, {0, bad}, {1, 1}, 1e-3, line);
    flatten_quadratic({0, 0}, {bad, bad}, {1, 1}, 1e-3, line);
    flatten_arc({0, 0}, {bad, 1, 0, false, true, {1, 1}}, 1e-3, line);
    flatten_arc({0, 0}, {1, 1, bad, false, true, {1, 1}}, 1e-3, line);
    EXPECT_LT(line.size(), 200'000u);
    EXPECT_EQ(line.back(), (Point{1, 1}));
    Polyline nothing;
    if (!std::isfinite(bad)) flatten_cubic({0, 0}, {1, 0}, {0, 1}, {bad, 1}, 1e-3, nothing);
    EXPECT_TRUE(nothing.empty());
  }
}

TEST(FlattenArc, LiesOnTheEllipseAndTakesTheRightWay) {
  for (const bool large : {false, true}) {
    for (const bool sweep : {false, true}) {
      Polyline line{{5, 0}};
      flatten_arc({5, 0}, {5, 5, 0, large, sweep, {0, 5}}, 1e-4, line);
      // About the origin the way from (5, 0) to (0, 5) by growing angles is the short one.
      const Point middle = sweep == large ? Point{5, 5} : Point{0, 0};
      for (const Point p : line) EXPECT_NEAR(distance(p, middle), 5, 1e-9);
      const double swept = length(line) / 5;
      EXPECT_NEAR(swept, large ? 1.5 * kPi : 0.5 * kPi, 1e-3);
      // sweep: angles grow, so the arc turns left all along (in axes as given)
      EXPECT_EQ(cross(line[1] - line[0], line[2] - line[1]) > 0, sweep);
    }
  }
}

TEST(FlattenArc, RadiiTooSmallAreScaledUp) {
  Polyline line{{0, 0}};
  flatten_arc({0, 0}, {1, 0.5, 0, false, true, {10, 0}}, 1e-4, line);
  for (const Point p : line) {  // scaled by 5: rx 5, ry 2.5 about (5, 0)
    EXPECT_NEAR((p.x - 5) * (p.x - 5) / 25 + p.y * p.y / 6.25, 1, 1e-9);
  }
  Polyline straight{{0, 0}};
  flatten_arc({0, 0}, {0, 3, 0, true, true, {4, 4}}, 1e-4, straight);
  EXPECT_EQ(straight, (Polyline{{0, 0}, {4, 4}}));
}

TEST(FlattenArc, StaysWithinTheTolerance) {
  for (std::uint64_t seed = 1; seed <= 200; ++seed) {
    SCOPED_TRACE(seed);
    base::Random random(seed);
    const double rx = random.uniform(1, 10), ratio = random.uniform(0.2, 1);
    const double turn = random.uniform(0, 6), tolerance = std::pow(10, random.uniform(-4, -1));
    const bool large = random.below(2) == 1;
    const bool sweep = random.below(2) == 1;
    const SvgArc arc{rx, rx * ratio, turn, large, sweep, {1, 1}};
    Polyline coarse{{0, 0}}, fine{{0, 0}};
    flatten_arc({0, 0}, arc, tolerance, coarse);
    flatten_arc({0, 0}, arc, tolerance / 1000, fine);
    for (const Point p : fine) ASSERT_LE(distance_to(coarse, p), tolerance * 1.01);
  }
}

TEST(ArcLengthOf, CircleAndWrapping) {
  base::Random random(1);
  const ArcLength circle(test::noisy_circle(random, 10'000, 3, 0), true);
  EXPECT_NEAR(circle.length(), 6 * kPi, 1e-5);
  EXPECT_NEAR(distance(circle.at(1.5 * kPi), {0, 3}), 0, 1e-3);
  EXPECT_NEAR(distance(circle.at(-1.5 * kPi), {0, -3}), 0, 1e-3);
  EXPECT_NEAR(circle.nearest({0, 7}), 1.5 * kPi, 1e-2);
  const ArcLength line({{0, 0}, {0, 0}, {4, 0}, {4, 3}});
  EXPECT_EQ(line.at(-1), (Point{0, 0}));
  EXPECT_EQ(line.at(99), (Point{4, 3}));
  EXPECT_EQ(line.at(5), (Point{4, 1}));
  EXPECT_EQ(line.direction(5), (Point{0, 1}));
  EXPECT_EQ(ArcLength({}).at(3), (Point{}));
  EXPECT_EQ(ArcLength({{2, 2}}, true).at(3), (Point{2, 2}));
}

TEST(Resample, StepsAreEvenAndEndsKept) {
  const Polyline line{{0, 0}, {4, 0}, {4, 3}};
  const Polyline even = resample(line, 0.5);
  ASSERT_EQ(even.size(), 15u);
  EXPECT_EQ(even.front(), line.front());
  EXPECT_EQ(even.back(), line.back());
  EXPECT_EQ(resample(test::rectangle(0, 0, 1, 1), 1, true).size(), 4u);
  EXPECT_EQ(resample_n(line, 8).size(), 8u);
}

TEST(Smoothed, StraightStaysCircleShrinksAsTheory) {
  const Polyline line = smoothed({{0, 0}, {10, 5}}, 0.5);
  EXPECT_EQ(line.front(), (Point{0, 0}));
  EXPECT_EQ(line.back(), (Point{10, 5}));
  for (const Point p : line) EXPECT_NEAR(cross(p, Point{2, 1}), 0, 1e-12);
  base::Random random(2);
  const Polyline circle = smoothed(test::noisy_circle(random, 4000, 5, 0), 1, true);
  for (const Point p : circle) EXPECT_NEAR(norm(p), 5 * std::exp(-1.0 / 50), 2e-3);
}

}  // namespace
}  // namespace buckram::geometry
