#include "digitise/lock.h"

#include "base/base.h"
#include "digitise/fill_shapes.h"

#include <gtest/gtest.h>

namespace buckram::digitise {
namespace {

using geometry::Point;

TEST(Lock, ThreeStitchesOfTheLengthSaidInDistinctHoles) {
  const geometry::Polygons room = shapes::joined({shapes::rect(-5, -5, 5, 5)});
  for (const double step : {0.1, 0.7, 0.8, 1.0, 3.0}) {
    const geometry::Polyline lock = lock_points({0, 0}, {2, 1}, step, room);
    ASSERT_EQ(lock.size(), 4u);
    EXPECT_EQ(lock.front(), (Point{0, 0}));
    EXPECT_EQ(lock.back(), (Point{0, 0}));
    for (std::size_t i = 0; i < 3; ++i) {
      EXPECT_GE(geometry::distance(lock[i], lock[i + 1]), 0.7 - 1e-9) << step;
      EXPECT_LE(geometry::distance(lock[i], lock[i + 1]), 1.0 + 1e-9) << step;
    }
    EXPECT_GT(geometry::dot(lock[1] + lock[2], {2, 1}), 0) << "points along the direction given";
  }
}

TEST(Lock, StaysInsideWhateverTheDirection) {
  base::Random random(5);
  int turned = 0;
  for (int i = 0; i < 200; ++i) {
    const geometry::Polygons room = shapes::blob(static_cast<std::uint64_t>(i) + 1, 6, 0);
    const double a = random.uniform(0, 2 * base::kPi);
    const Point along{std::cos(a), std::sin(a)};
    const geometry::Ring& edge = room[0].outer;
    const Point at =
        edge[static_cast<std::size_t>(random.below(static_cast<int>(edge.size())))] * 0.97;
    if (!geometry::contains(room, at)) continue;
    const geometry::Polyline lock = lock_points(at, along, 0.8, room);
    ASSERT_EQ(lock.size(), 4u) << "seed " << i + 1;
    for (Point p : lock) EXPECT_TRUE(geometry::contains(room, p)) << "seed " << i + 1;
    if (geometry::dot(geometry::unit(lock[1] + lock[2] - at * 2), along) < 0.9) ++turned;
  }
  EXPECT_GT(turned, 20) << "too few cases where the first direction did not fit";
}

TEST(Lock, EmptyWhereNothingFits) {
  EXPECT_TRUE(lock_points({0, 0}, {1, 0}, 0.8, shapes::joined({shapes::rect(-0.1, -0.1, 0.1, 0.1)}))
                  .empty());
  EXPECT_TRUE(lock_points({0, 0}, {1, 0}, 0.8, {}).empty());
}

}  // namespace
}  // namespace buckram::digitise
