// From regions to objects to penetrations: the laws of digitise.h over letters, widths, wild
// shapes.
#include "digitise/digitise.h"

#include "digitise/stay_inside.h"
#include "digitise/strip_shapes.h"
#include "support/random_polygons.h"

#include <gtest/gtest.h>

namespace buckram::digitise {
namespace {

using geometry::Point;
using strips::bare_recipe;

// Every way of every object of kinds column and run: what sew() promises. (Fills: fill_test.cpp.)
int check_laws(const Digitised& made, const Recipe& recipe, const std::string& what) {
  int n_checked = 0;
  for (const Object& object : made.objects) {
    EXPECT_FALSE(object.ways.empty()) << what;
    if (kind(object) == stitch::Kind::fill) continue;
    for (const Way& way : object.ways) {
      const auto pieces = sew(object, way, recipe, {true, true});
      EXPECT_EQ(pieces.front().points.front(), way.entry) << what;
      EXPECT_EQ(pieces.back().points.back(), way.exit) << what;
      const Point* before = nullptr;
      for (const Piece& piece : pieces) {
        for (const Point& p : piece.points) {
          EXPECT_TRUE(std::isfinite(p.x) && std::isfinite(p.y)) << what;
          if (before != nullptr) {
            const double length = geometry::distance(*before, p);
            EXPECT_LE(length, recipe.longest_mm + 1e-9) << what;
            EXPECT_GE(length, 0.25 - 1e-9) << what << " object " << object.id;
            ++n_checked;
          }
          before = &p;
        }
      }
    }
  }
  return n_checked;
}

TEST(Objects, OfLettersCoverThemAndKeepTheLimits) {
  const Recipe recipe = bare_recipe();
  int n_checked = 0;
  for (const double height : {8.0, 12.0, 20.0}) {
    for (const auto& [sign, shape] : strips::glyphs(height)) {
      const std::string what = std::string(1, sign) + " at " + std::to_string(height);
      const Digitised made = strips::digitised(shape, recipe);
      n_checked += check_laws(made, recipe, what);
      const strips::Cover cover = strips::cover(shape, made, recipe);
      EXPECT_LT(cover.missed, 4) << what;
      EXPECT_LT(cover.spilled, 0.5) << what;
    }
  }
  EXPECT_GT(n_checked, 10'000);
}

TEST(Objects, PenetrationsStayWithinTheOutline) {
  const Recipe recipe = recipe_for(Style::cap);
  for (const auto& [sign, shape] : strips::glyphs(12)) {
    for (const Object& object : strips::digitised(shape, recipe).objects) {
      if (kind(object) == stitch::Kind::fill) continue;
      const auto cloth = allowed_cloth(object.outline, recipe);
      for (const Way& way : object.ways) {
        EXPECT_TRUE(stays_inside(sew(object, way, recipe, {true, true}), cloth)) << sign;
      }
    }
  }
}

struct Width {
  double mm;
  stitch::Kind kind;
  std::string note;
};

class Widths : public testing::TestWithParam<Width> {};

TEST_P(Widths, DecideTheKind) {
  const Digitised made = strips::digitised({strips::rectangle(25, GetParam().mm)}, bare_recipe());
  ASSERT_EQ(made.objects.size(), 1u);
  EXPECT_EQ(kind(made.objects[0]), GetParam().kind);
  EXPECT_EQ(made.notes.empty() ? "" : made.notes[0].kind, GetParam().note);
}

INSTANTIATE_TEST_SUITE_P(Objects, Widths,
                         testing::Values(Width{0.3, stitch::Kind::run, "thickened"},
                                         Width{0.6, stitch::Kind::run, "run"},
                                         Width{0.8, stitch::Kind::column, "thickened"},
                                         Width{1.5, stitch::Kind::column, ""},
                                         Width{5.5, stitch::Kind::column, ""},
                                         Width{9, stitch::Kind::fill, ""}));

// The two passes of a line wider than a thread lie beside each other, so that it is covered from
// side to side; what is too short for that is sewn across.
TEST(Objects, LinesWiderThanAThreadAreCovered) {
  const Recipe recipe = bare_recipe();
  for (const double width : {0.5, 0.6, 0.68}) {
    const geometry::Polygons line{strips::rectangle(12, width)}, dash{strips::rectangle(2, width)};
    const Digitised made = strips::digitised(line, recipe);
    ASSERT_EQ(made.objects.size(), 1u);
    EXPECT_EQ(kind(made.objects.front()), stitch::Kind::run) << width;
    const double one_line = 100 * (1 - recipe.thread_mm / width);
    EXPECT_LT(strips::cover(line, made, recipe).missed, one_line / 2) << width;
    const Digitised across = strips::digitised(dash, recipe);
    ASSERT_EQ(across.objects.size(), 1u);
    EXPECT_EQ(kind(across.objects.front()), stitch::Kind::column) << width;
    EXPECT_LT(strips::cover(dash, across, recipe).missed, 5) << width;
  }
}

TEST(Objects, SpecksAreLeftOutWithANote) {
  const Digitised made = strips::digitised({strips::rectangle(0.3, 0.3)}, bare_recipe());
  EXPECT_TRUE(made.objects.empty());
  ASSERT_EQ(made.notes.size(), 1u);
  EXPECT_EQ(made.notes[0].kind, "left_out");
  EXPECT_EQ(made.notes[0].source, "shape");
}

TEST(Objects, IdsCountFromOneAndJointsNameThem) {
  const Digitised made = strips::digitised(strips::glyphs(12).at('H'), bare_recipe());
  ASSERT_EQ(made.objects.size(), 3u);
  int n_joints = 0;
  for (std::size_t i = 0; i < 3; ++i) {
    EXPECT_EQ(made.objects[i].id, static_cast<int>(i) + 1);
    for (int before : made.objects[i].after) {
      EXPECT_TRUE(before >= 1 && before <= 3 && before != made.objects[i].id);
      ++n_joints;
    }
    EXPECT_EQ(made.objects[i].tucked, made.objects[i].after) << "no end lies on top";
  }
  EXPECT_EQ(n_joints, 2);
}

TEST(Objects, TwiceTheSameInTheSameOrder) {
  const auto shape = strips::glyphs(12).at('R');
  const Recipe recipe = bare_recipe();
  const Digitised a = strips::digitised(shape, recipe), b = strips::digitised(shape, recipe);
  ASSERT_EQ(a.objects.size(), b.objects.size());
  for (std::size_t i = 0; i < a.objects.size(); ++i) {
    const auto x = sew(a.objects[i], a.objects[i].ways[0], recipe, {true, true});
    const auto y = sew(b.objects[i], b.objects[i].ways[0], recipe, {true, true});
    ASSERT_EQ(x.size(), y.size());
    for (std::size_t k = 0; k < x.size(); ++k) EXPECT_EQ(x[k].points, y[k].points);
  }
}

// Stars, tangles and grids of touching corners: nothing that a picture could hold may stop it.
TEST(Objects, AreMadeOfAnything) {
  const Recipe recipe = recipe_for(Style::cap);
  int n_checked = 0;
  for (std::uint64_t seed = 1; seed <= 40; ++seed) {
    base::Random random(seed);
    const double size = seed % 3 == 0 ? 3 : 15;
    const int n = 5 + static_cast<int>(seed) % 20;
    geometry::Polygons shape;
    switch (seed % 4) {
      case 0:
        shape = {test::holed_star(random, n, size)};
        break;
      case 1:
        shape = geometry::unite({test::tangle(random, n, size)}, geometry::FillRule::evenodd);
        break;
      case 2:
        shape = geometry::unite({test::grid_tangle(random, n, 12)}, geometry::FillRule::nonzero);
        break;
      default:
        shape = {strips::star(n, size, size * 0.3)};
    }
    n_checked +=
        check_laws(strips::digitised(shape, recipe), recipe, "seed " + std::to_string(seed));
  }
  EXPECT_GT(n_checked, 1'000);
}

TEST(Recipe, RefusesWhatMakesNoSense) {
  EXPECT_NO_THROW(recipe_for(Style::cap).check());
  EXPECT_NO_THROW(recipe_for(Style::flat).check());
  const auto refused = [](auto change) {
    Recipe recipe = recipe_for(Style::cap);
    change(recipe);
    EXPECT_THROW(recipe.check(), base::Error);
  };
  refused([](Recipe& r) { r.row_mm = 0; });
  refused([](Recipe& r) { r.column_mm = NAN; });
  refused([](Recipe& r) { r.compensation_mm = -0.1; });
  refused([](Recipe& r) { r.run_below_mm = r.narrowest_mm / 2; });
  refused([](Recipe& r) { r.fill_stitch_mm = r.longest_mm + 1; });
}

}  // namespace
}  // namespace buckram::digitise
