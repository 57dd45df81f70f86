// Rows that bend with the shape: closed forms on rings, arcs and bars.
#include "digitise/bend.h"

#include "base/base.h"
#include "digitise/digitise.h"
#include "digitise/fill.h"
#include "digitise/stay_inside.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

namespace buckram::digitise {
namespace {

using geometry::Point;
using geometry::Polygon;
using geometry::Polygons;
using geometry::Ring;

constexpr Point kMiddle{3, 40};

Point on_circle(double radius, double angle) {
  return kMiddle + Point{radius * std::cos(angle), radius * std::sin(angle)};
}

// Part of a ring, from one angle to another, anticlockwise.
Polygons arc_band(double inner, double outer, double from, double to) {
  Ring ring;
  constexpr int kPoints = 200;
  for (int k = 0; k <= kPoints; ++k)
    ring.push_back(on_circle(outer, from + (to - from) * k / kPoints));
  for (int k = kPoints; k >= 0; --k)
    ring.push_back(on_circle(inner, from + (to - from) * k / kPoints));
  return {{ring, {}}};
}

Polygons whole_ring(double inner, double outer) {
  Ring out, in;
  for (int k = 0; k < 400; ++k) {
    out.push_back(on_circle(outer, 2 * base::kPi * k / 400));
    in.push_back(on_circle(inner, -2 * base::kPi * k / 400));
  }
  return {{out, {in}}};
}

Digitised made(const Polygons& area, const std::vector<std::string>& follow) {
  artwork::Regions regions;
  regions.threads.push_back({});
  artwork::Region region;
  region.sewn = region.visible = area;
  region.source = "band";
  regions.regions.push_back(region);
  Recipe recipe = recipe_for(Style::cap);
  recipe.follow_shape = follow;
  return make_objects(regions, recipe);
}

const Object& only_fill(const Digitised& all) {
  EXPECT_EQ(all.objects.size(), 1U);
  EXPECT_TRUE(std::holds_alternative<Fill>(all.objects.front().shape));
  return all.objects.front();
}

// Holes of rows, row ends' turns and locks aside: those with a straight way in and out.
std::vector<Point> row_holes(const Object& object) {
  std::vector<Point> out;
  for (const Piece& piece :
       sew(object, object.ways.front(), recipe_for(Style::cap), {true, true})) {
    if (piece.layer != stitch::Layer::top) continue;
    const auto& p = piece.points;
    for (std::size_t i = 1; i + 1 < p.size(); ++i) {
      const Point in = geometry::unit(p[i] - p[i - 1]), on = geometry::unit(p[i + 1] - p[i]);
      if (geometry::dot(in, on) > 0.8) out.push_back(p[i]);
    }
  }
  return out;
}

// Groups sorted values that lie within 0.02 mm of the one before.
std::vector<double> levels_of(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  std::vector<double> levels;
  double last = -1e9;
  for (const double v : values) {
    if (v - last > 0.02) levels.push_back(v);
    last = v;
  }
  return levels;
}

TEST(Bend, CarriesPlacesThereAndBack) {
  int n_asked = 0;
  for (const double radius : {8.0, 20.0, 60.0}) {
    const Polygons area = arc_band(radius - 4, radius + 4, 0.3, 2.5);
    const auto bend = bend_of(area);
    ASSERT_TRUE(bend);
    for (double r = radius - 3.9; r < radius + 3.9; r += 0.37) {
      for (double angle = 0.32; angle < 2.48; angle += 0.05, ++n_asked) {
        const Point p = on_circle(r, angle);
        const Point q = bend->to_flat(p);
        EXPECT_LT(geometry::distance(bend->to_cloth(q), p), 1e-3);
        EXPECT_LT(geometry::distance(bend->to_flat(bend->to_cloth(q)), q), 1e-3);
      }
    }
  }
  EXPECT_GT(n_asked, 2000);
}

// Far from the ends the guide of an arc is its middle circle, made smaller by the smoothing (see
// geometry::smoothed): d is the distance to it, and a row's stretch is its radius over the guide's.
TEST(Bend, OfAnArcIsPolar) {
  const auto bend = bend_of(arc_band(16, 24, 0, 3));
  ASSERT_TRUE(bend);
  const double sigma = 8.0 / 3, guide = 20 * std::exp(-(sigma * sigma + 1) / (2 * 20 * 20));
  for (const double r : {16.5, 20.0, 23.5}) {
    const Point q = bend->to_flat(on_circle(r, 1.5));
    EXPECT_NEAR(std::abs(q.y), std::abs(r - guide), 0.02);
    EXPECT_NEAR(bend->stretch(q), r / guide, 0.02);
  }
}

TEST(Bend, RowsOfARingAreConcentricAndEvenlySpaced) {
  const Digitised all = made(whole_ring(9, 18), {"band"});
  const Object& object = only_fill(all);
  ASSERT_TRUE(std::get<Fill>(object.shape).bend);
  std::vector<double> radii;
  for (const Point p : row_holes(object)) radii.push_back(geometry::distance(p, kMiddle));
  ASSERT_GT(radii.size(), 300U);
  // Rows away from the edges, where turns and caps lie.
  std::erase_if(radii, [](double r) { return r < 9.8 || r > 17.2; });
  const std::vector<double> rows = levels_of(radii);
  EXPECT_NEAR(static_cast<double>(rows.size()), (17.2 - 9.8) / 0.4, 2.0);
  int n_off = 0;
  for (std::size_t i = 1; i < rows.size(); ++i)
    n_off += std::abs(rows[i] - rows[i - 1] - 0.4) > 0.04;
  EXPECT_LE(n_off, static_cast<int>(rows.size()) / 20);
}

// Where the ring is cut open its rows lap, so that the joint shows no cloth; nowhere else.
TEST(Bend, RowsOfARingLapWhereTheyMeet) {
  const Polygons ring = whole_ring(9, 18);
  const auto bend = bend_of(ring);
  ASSERT_TRUE(bend);
  const Polygons once = bend->flattened(ring), rows = bend->for_rows(ring);
  ASSERT_EQ(rows.size(), 1U);
  EXPECT_TRUE(rows[0].holes.empty());
  const double lap = geometry::bounds(rows).width() - geometry::bounds(once).width();
  EXPECT_GT(lap, 0.3);  // thread ends a thread's width over each other
  EXPECT_LT(lap, 1.0);
  EXPECT_NEAR(geometry::area(rows) - geometry::area(once), 9 * lap, 0.1 * 9 * lap);
}

TEST(Bend, RowsOfABarAreStraight) {
  const Polygons bar =
      geometry::transformed(Polygons{{{{-30, -5}, {30, -5}, {30, 5}, {-30, 5}}, {}}},
                            geometry::compose({1, 0, 0, 1, 0, 40}, geometry::rotation(0.4)));
  const Digitised all = made(bar, {"*"});
  const Object& object = only_fill(all);
  ASSERT_TRUE(std::get<Fill>(object.shape).bend);
  std::vector<double> heights;
  for (const Point p : row_holes(object))
    heights.push_back(geometry::rotation(-0.4)(p - Point{0, 40}).y);
  ASSERT_GT(heights.size(), 200U);
  EXPECT_NEAR(static_cast<double>(levels_of(heights).size()), 10 / 0.4, 3.0);
}

// Bent or not, a fill's thread stays on its cloth and covers it once.
TEST(Bend, KeepsTheFillsLaws) {
  int n_bent = 0;
  for (const double radius : {9.0, 12.0, 25.0}) {
    for (const double to : {1.0, 2.5, 5.5}) {
      SCOPED_TRACE(radius * 10 + to);
      const Polygons area = arc_band(radius - 4.5, radius + 4.5, 0, to);
      const Digitised all = made(area, {"*"});
      for (const Object& object : all.objects) {
        const auto* fill = std::get_if<Fill>(&object.shape);
        if (fill == nullptr || !fill->bend) continue;
        ++n_bent;
        const Recipe recipe = recipe_for(Style::cap);
        const stitch::Within cloth = allowed_cloth(object.outline, recipe);
        double top_mm = 0;
        for (const Way& way : object.ways) {
          const auto pieces = sew(object, way, recipe, {true, true});
          EXPECT_TRUE(stays_inside(pieces, cloth));
          EXPECT_LT(geometry::distance(pieces.front().points.front(), way.entry), 0.02);
          top_mm = 0;
          for (const Piece& piece : pieces)
            if (piece.layer == stitch::Layer::top) top_mm += geometry::length(piece.points);
        }
        EXPECT_NEAR(top_mm * recipe.row_mm / geometry::area(object.outline), 1, 0.1);
      }
    }
  }
  EXPECT_GE(n_bent, 6);
}

// Rows are drawn out by up to 2.4 on the outside of a bend; locks are not.
TEST(Bend, LocksKeepTheirLength) {
  int n_stitches = 0;
  for (const double radius : {9.0, 12.0, 25.0}) {
    const Digitised all = made(arc_band(radius - 4.5, radius + 4.5, 0, 2.5), {"*"});
    const Object& object = only_fill(all);
    ASSERT_TRUE(std::get<Fill>(object.shape).bend);
    for (const Way& way : object.ways) {
      const auto pieces = sew(object, way, recipe_for(Style::cap), {true, true});
      EXPECT_EQ(pieces.front().layer, stitch::Layer::lock);
      EXPECT_EQ(pieces.back().layer, stitch::Layer::lock);
      EXPECT_LT(geometry::distance(pieces.back().points.back(), way.exit), 0.02);
      for (const Piece& piece : pieces) {
        if (piece.layer != stitch::Layer::lock) continue;
        for (std::size_t i = 1; i < piece.points.size(); ++i, ++n_stitches)
          EXPECT_LE(geometry::distance(piece.points[i - 1], piece.points[i]), 1.0 + 1e-9);
      }
    }
  }
  EXPECT_GT(n_stitches, 60);
}

TEST(Bend, SaysWhereRowsStayStraight) {
  const auto has_note = [](const Digitised& all, const std::string& source) {
    return std::any_of(all.notes.begin(), all.notes.end(), [&](const artwork::Note& n) {
      return n.kind == "rows" && n.source == source;
    });
  };
  EXPECT_TRUE(has_note(made(arc_band(16, 24, 0, 3), {"no-such"}), "no-such"));
  EXPECT_FALSE(has_note(made(arc_band(16, 24, 0, 3), {"band"}), "band"));
  // A square beside the band has no one middle line.
  Polygons both = arc_band(16, 24, 0, 3);
  both.push_back({{{-60, -12}, {-36, -12}, {-36, 12}, {-60, 12}}, {}});
  const Digitised partly = made(both, {"band"});
  ASSERT_TRUE(has_note(partly, "band"));
  EXPECT_NE(partly.notes.back().why.find("1 of 2 parts"), std::string::npos);
  EXPECT_LT(partly.notes.back().at.x, -35);
  const Digitised plain = made(arc_band(16, 24, 0, 3), {});
  EXPECT_FALSE(std::get<Fill>(only_fill(plain).shape).bend);
}

}  // namespace
}  // namespace buckram::digitise
