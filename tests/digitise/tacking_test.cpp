// The laws of the tacking run, on shapes whose answer is known.
#include "digitise/digitise.h"

#include <gtest/gtest.h>

#include <cmath>

namespace buckram::tests {
namespace {

using digitise::Object;
using digitise::Tacking;
using geometry::Point;
using geometry::Polygons;

Polygons box(double x0, double y0, double x1, double y1) {
  return {{{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}, {}}};
}

Object ground(const Polygons& outline) {
  Object object;
  object.id = 1;
  object.outline = outline;
  object.shape = digitise::Fill{outline, 0};
  return object;
}

digitise::Recipe seamed() {
  digitise::Recipe recipe = digitise::recipe_for(digitise::Style::cap);
  recipe.has_seam = true;
  return recipe;
}

std::vector<digitise::Piece> sewn(const Tacking& tacking) {
  const auto& ways = tacking.object.ways;
  return digitise::sew(tacking.object, ways[static_cast<std::size_t>(tacking.way)], seamed(),
                       {true, true});
}

TEST(Tacking, IsHiddenAndCrossesTheSeamInSingleStitches) {
  const Polygons cover = box(-20, 16, 20, 50);
  const auto tacking = digitise::tacking_run({ground(cover)}, {-19, 20}, seamed());
  ASSERT_TRUE(tacking);
  int n_crossings = 0, n_holes = 0;
  for (const auto& piece : sewn(*tacking)) {
    EXPECT_TRUE(piece.layer == stitch::Layer::under || piece.layer == stitch::Layer::lock);
    for (std::size_t i = 0; i < piece.points.size(); ++i) {
      const Point p = piece.points[i];
      ++n_holes;
      EXPECT_GE(std::abs(p.x), seamed().seam_clear_mm);
      EXPECT_TRUE(geometry::contains(cover, p));
      if (i == 0) continue;
      EXPECT_LE(geometry::distance(p, piece.points[i - 1]), seamed().longest_mm);
      n_crossings += p.x * piece.points[i - 1].x < 0;
    }
  }
  EXPECT_EQ(n_crossings, 2);
  EXPECT_GT(n_holes, 12);
  const geometry::Box reach = geometry::bounds(tacking->object.outline);
  EXPECT_GT(reach.height(), 28);  // nearly all that the ground allows: 34 less 2 x 1.2
}

TEST(Tacking, GoesOnHiddenWhereTheWayIsCovered) {
  const Polygons cover = box(-20, 16, 20, 50);
  const auto near = digitise::tacking_run({ground(cover)}, {-19, 20}, seamed());
  ASSERT_TRUE(near && near->travel);
  EXPECT_FALSE(near->travel->empty());
  const auto across = digitise::tacking_run({ground(cover)}, {-40, 20}, seamed());
  ASSERT_TRUE(across);
  EXPECT_FALSE(across->travel);
}

TEST(Tacking, IsLeftOutWhereItWouldShowOrThereIsNoSeam) {
  const auto tacks = [](const std::vector<Object>& objects, const digitise::Recipe& recipe) {
    return digitise::tacking_run(objects, {}, recipe).has_value();
  };
  const Object whole = ground(box(-20, 16, 20, 50));
  EXPECT_TRUE(tacks({whole}, seamed()));
  EXPECT_FALSE(tacks({whole}, digitise::recipe_for(digitise::Style::cap)));
  EXPECT_FALSE(tacks({ground(box(-20, 16, 20, 25))}, seamed())) << "too low";
  EXPECT_FALSE(tacks({ground(box(-20, 16, -1, 50)), ground(box(1, 16, 20, 50))}, seamed()))
      << "the seam lies bare";
  EXPECT_FALSE(tacks({ground(box(-20, 16, 1, 50))}, seamed())) << "one side lies bare";
}

}  // namespace
}  // namespace buckram::tests
