// Single objects' own stitches: what is asked for is what is sewn, by holes and threads measured.
#include "digitise/digitise.h"

#include "digitise/stay_inside.h"
#include "digitise/strip_shapes.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <set>

namespace buckram::digitise {
namespace {

using geometry::Point;
using stitch::Kind;
using stitch::Layer;

geometry::Polygons box(double x, double y, double w, double h) {
  return {{{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}}, {}}};
}

// A hull 24 x 16 mm, a mast 4 x 20 mm, a rope 0.9 x 20 mm, a buoy of two parts.
artwork::Regions harbour() {
  artwork::Regions regions;
  regions.threads.resize(1);
  const auto add = [&](const char* source, const geometry::Polygons& shape) {
    artwork::Region region;
    region.visible = region.sewn = shape;
    region.source = source;
    region.order = static_cast<int>(regions.regions.size());
    regions.regions.push_back(region);
  };
  add("hull", box(0, 0, 24, 16));
  add("mast", box(30, 0, 4, 20));
  add("rope", box(40, 0, 0.9, 20));
  geometry::Polygons buoy = box(50, 0, 10, 10);
  buoy.push_back(box(50, 12, 10, 2).front());
  add("buoy", buoy);
  return regions;
}

Recipe with(std::vector<OwnStitches> own) {
  Recipe recipe = strips::bare_recipe();
  recipe.own = std::move(own);
  return recipe;
}

struct Made {
  artwork::Regions regions = harbour();
  Digitised all;
  OwnObjects own;

  explicit Made(std::vector<OwnStitches> asked)
      : all(make_objects(regions, with(asked))), own(own_objects(all, regions, with(asked))) {}
};

OwnStitches of(const char* name) {
  OwnStitches own;
  own.of = name;
  return own;
}

std::vector<Piece> sewn(const Object& object) {
  return sew(object, object.ways.front(), strips::bare_recipe(), {true, true});
}

int holes(const Object& object, Layer layer) {
  std::size_t n = 0;
  for (const Piece& piece : sewn(object))
    if (piece.layer == layer) n += piece.points.size();
  return static_cast<int>(n);
}

// Share of the top layer's thread that lies within 8 degrees of that direction.
double share_along(const Object& object, double deg) {
  double along = 0, all = 0;
  for (const Piece& piece : sewn(object)) {
    if (piece.layer != Layer::top) continue;
    for (std::size_t i = 1; i < piece.points.size(); ++i) {
      const Point d = piece.points[i] - piece.points[i - 1];
      double apart = std::fmod(std::abs(std::atan2(d.y, d.x) * 180 / base::kPi - deg), 180);
      apart = std::min(apart, 180 - apart);
      (apart < 8 ? along : all) += geometry::norm(d);
    }
  }
  return along / (along + all);
}

double longest_top(const Object& object) {
  double longest = 0;
  for (const Piece& piece : sewn(object)) {
    if (piece.layer != Layer::top) continue;
    for (std::size_t i = 1; i < piece.points.size(); ++i)
      longest = std::max(longest, geometry::distance(piece.points[i - 1], piece.points[i]));
  }
  return longest;
}

base::Error refused(const OwnStitches& own) {
  try {
    Made made({own});
  } catch (const base::Error& error) {
    return error;
  }
  ADD_FAILURE() << "not refused: " << own.of;
  return {};
}

TEST(OwnObjects, AreNoneWithoutBeingAsked) {
  const Made made({});
  EXPECT_TRUE(made.own.indices.empty());
  ASSERT_EQ(made.all.objects.size(), 5U);
  EXPECT_EQ(made.all.cells.size(), 5U);
  EXPECT_EQ(kind(made.all.objects[0]), Kind::fill);
  EXPECT_EQ(kind(made.all.objects[1]), Kind::column);
}

TEST(OwnObjects, KeepNumberPlaceAndPrecedenceAndTellWhatTheyWereGiven) {
  OwnStitches hull = of("hull");
  hull.angle_deg = 45;
  const Made made({hull});
  ASSERT_EQ(made.own.indices, std::vector<int>{0});
  const Object &is = made.own.objects[0], &was = made.all.objects[0];
  EXPECT_EQ(is.id, was.id);
  EXPECT_EQ(is.order, was.order);
  EXPECT_EQ(is.after, was.after);
  EXPECT_EQ(is.source, "hull");
  ASSERT_EQ(made.own.notes.size(), 1U);
  EXPECT_EQ(made.own.notes[0].why, "object 1: rows at 45 degrees, as the job asks");
}

TEST(OwnObjects, RowsLieInTheDirectionAskedFor) {
  for (const double deg : {0.0, 30.0, 90.0, 135.0, 180.0}) {
    OwnStitches hull = of("1");
    hull.angle_deg = deg;
    const Made made({hull});
    EXPECT_GT(share_along(made.own.objects[0], deg), 0.8) << deg;
    EXPECT_LT(share_along(made.own.objects[0], deg + 45), 0.1) << deg;
  }
}

// Twice the spacing takes about half the holes.
TEST(OwnObjects, SpacingSetsTheNumberOfHoles) {
  OwnStitches hull = of("hull"), mast = of("mast");
  hull.row_mm = 0.8;
  mast.column_mm = 0.8;
  const Made made({hull, mast});
  ASSERT_EQ(made.own.objects.size(), 2U);
  for (std::size_t i : {0U, 1U}) {
    EXPECT_NEAR(holes(made.own.objects[i], Layer::top),
                holes(made.all.objects[i], Layer::top) / 2.0,
                0.1 * holes(made.all.objects[i], Layer::top))
        << i;
  }
}

TEST(OwnObjects, StitchesAreNoLongerThanAskedFor) {
  OwnStitches hull = of("hull"), mast = of("mast");
  hull.stitch_mm = 2.5;
  mast.stitch_mm = 2;
  const Made made({hull, mast});
  // What would be shorter than the shortest is added to its neighbour.
  EXPECT_LE(longest_top(made.own.objects[0]), 2.5 + strips::bare_recipe().shortest_mm);
  EXPECT_GT(longest_top(made.all.objects[0]), 3);
  EXPECT_LE(longest_top(made.own.objects[1]), 2 + 1e-9);
  EXPECT_GT(longest_top(made.all.objects[1]), 3.5);
}

TEST(OwnObjects, UnderStitchingIsTheKindAskedFor) {
  std::vector<int> n_hull, n_mast;
  for (const UnderKind kind : {UnderKind::none, UnderKind::edge, UnderKind::lattice}) {
    OwnStitches hull = of("hull");
    hull.under = kind;
    n_hull.push_back(holes(Made({hull}).own.objects[0], Layer::under));
  }
  for (const UnderKind kind :
       {UnderKind::none, UnderKind::centre, UnderKind::edge, UnderKind::zigzag}) {
    OwnStitches mast = of("mast");
    mast.under = kind;
    n_mast.push_back(holes(Made({mast}).own.objects[0], Layer::under));
  }
  EXPECT_EQ(n_hull[0], 0);
  EXPECT_EQ(n_mast[0], 0);
  // Round the edge 24 x 16 mm, 0.5 mm in, every 2.2 mm.
  EXPECT_NEAR(n_hull[1], 2 * (23 + 15) / 2.2, 5);
  EXPECT_GT(n_hull[2], 1.5 * n_hull[1]);
  EXPECT_TRUE(std::is_sorted(n_mast.begin(), n_mast.end()));
  EXPECT_LT(n_mast[1], n_mast[3]);
}

TEST(OwnObjects, AreSewnAsAnotherKindWhereTheirClothLetsThem) {
  OwnStitches mast = of("mast"), rope = of("rope");
  mast.sewn_as = Kind::fill;
  rope.sewn_as = Kind::run;
  const Made made({mast, rope});
  EXPECT_EQ(kind(made.own.objects[0]), Kind::fill);
  EXPECT_EQ(kind(made.own.objects[1]), Kind::run);
  EXPECT_LT(holes(made.own.objects[1], Layer::top), holes(made.all.objects[2], Layer::top) / 3);

  OwnStitches wide = of("mast");
  wide.sewn_as = Kind::run;
  const base::Error error = refused(wide);
  EXPECT_EQ(error.code, base::ErrorCode::bad_job);
  EXPECT_EQ(error.where, "object.mast.sewn_as");
  EXPECT_EQ(error.what, "object 2 cannot be sewn as a run");
  EXPECT_NE(error.hint.find("1.5 mm"), std::string::npos);
}

TEST(OwnObjects, KeepTheLimitsWhateverIsAsked) {
  int n_checked = 0;
  for (const UnderKind under : {UnderKind::none, UnderKind::edge}) {
    for (const double stitch_mm : {2.0, 7.0}) {
      for (const double spacing_mm : {0.3, 1.0}) {
        OwnStitches hull = of("hull"), mast = of("mast");
        hull.under = mast.under = under;
        hull.stitch_mm = mast.stitch_mm = stitch_mm;
        hull.row_mm = mast.column_mm = spacing_mm;
        hull.angle_deg = 60;
        const Made made({hull, mast});
        for (const Object& object : made.own.objects) {
          const stitch::Within cloth = allowed_cloth(object.outline, strips::bare_recipe());
          for (const Way& way : object.ways) {
            const auto pieces = sew(object, way, strips::bare_recipe(), {true, true});
            EXPECT_TRUE(stays_inside(pieces, cloth));
            EXPECT_EQ(pieces.front().points.front(), way.entry);
            EXPECT_EQ(pieces.back().points.back(), way.exit);
            ++n_checked;
          }
        }
      }
    }
  }
  EXPECT_GT(n_checked, 40);
}

// Of the buoy's parts the bar comes first.
TEST(OwnObjects, AnElementStandsForAllItsObjectsAndANumberGoesOverIt) {
  OwnStitches number = of("4"), buoy = of("buoy");
  number.stitch_mm = 3;
  buoy.stitch_mm = 2;
  const Made made({number, buoy});
  ASSERT_EQ(made.own.indices, (std::vector<int>{3, 4}));
  ASSERT_EQ(kind(made.own.objects[0]), Kind::column);
  EXPECT_EQ(made.own.objects[0].own->longest_mm, 3);
  EXPECT_EQ(made.own.objects[1].own->fill_stitch_mm, 2);
}

// Of an element's objects only the fills have rows.
TEST(OwnObjects, AnElementsKeysGoToThoseOfItsObjectsThatTheyAreFor) {
  OwnStitches buoy = of("buoy");
  buoy.row_mm = 0.5;
  buoy.column_mm = 0.45;
  const Made made({buoy});
  ASSERT_EQ(made.own.objects.size(), 2U);
  EXPECT_EQ(made.own.objects[0].own->column_mm, 0.45);
  EXPECT_EQ(made.own.objects[0].own->row_mm, strips::bare_recipe().row_mm);
  EXPECT_EQ(made.own.objects[1].own->row_mm, 0.5);
  EXPECT_EQ(made.own.objects[1].own->column_mm, strips::bare_recipe().column_mm);
}

TEST(OwnObjects, WhatIsNotThereOrDoesNotFitIsRefusedWithWhatThereIs) {
  OwnStitches none = of("9");
  none.stitch_mm = 3;
  base::Error error = refused(none);
  EXPECT_EQ(error.where, "object.9");
  EXPECT_EQ(error.what, "there is no object of that number");
  EXPECT_EQ(error.hint, "Objects: 1 to 5; elements: hull, mast, rope, buoy");

  none.of = "keel";
  EXPECT_EQ(refused(none).what, "no object is sewn from an element of that name");

  OwnStitches turned = of("2");
  turned.angle_deg = 45;
  error = refused(turned);
  EXPECT_EQ(error.where, "object.2.angle_deg");
  EXPECT_EQ(error.what, "object 2 is a column: only fills have rows to turn");

  OwnStitches under = of("hull");
  under.under = UnderKind::zigzag;
  EXPECT_EQ(refused(under).where, "object.hull.under");

  OwnStitches longer = of("hull");
  longer.stitch_mm = 9;
  error = refused(longer);
  EXPECT_EQ(error.where, "object.hull.stitch_mm");
  EXPECT_EQ(error.what, "is 9; it must be between 1 and 7 mm for a fill");
}

}  // namespace
}  // namespace buckram::digitise
