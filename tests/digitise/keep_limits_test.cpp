// The last hand on an object's penetrations: what it may move and what it may not.
#include "digitise/keep_limits.h"

#include "base/base.h"
#include "digitise/stay_inside.h"

#include <gtest/gtest.h>

namespace buckram::digitise {
namespace {

using geometry::Point;
using geometry::Polyline;
using stitch::Layer;

Object fill_on(const geometry::Polygons& outline) {
  Object object;
  object.id = 1;
  object.outline = outline;
  object.shape = Fill{outline, 0};
  object.ways.push_back({});
  return object;
}

// A strip with a notch cut into its right side, `deep` mm, between two rows.
geometry::Polygons notched(double deep) {
  return {
      {{{-10, 20}, {10, 20}, {10, 21}, {10 - deep, 21.2}, {10, 21.4}, {10, 23}, {-10, 23}}, {}}};
}

// The holes of the top layer, before and after.
Polyline kept(const geometry::Polygons& outline, const Polyline& holes) {
  std::vector<Piece> pieces{{Layer::top, holes}};
  keep_limits(fill_on(outline), recipe_for(Style::cap), {false, false}, pieces);
  return pieces.empty() ? Polyline{} : pieces.front().points;
}

// Rows that end short of a notch, the last stitch of each shorter than the notch is deep: the ends
// are drawn back, but not past the hole before them.
TEST(KeepLimits, RowEndsAreNeverDrawnPastTheirNeighbours) {
  const double shortest = recipe_for(Style::cap).shortest_mm;
  int n_drawn = 0;
  for (int k = 0; k < 40; ++k) {
    SCOPED_TRACE(k);
    const double last = 0.8 + 0.05 * k, deep = 1.0 + 0.02 * k;
    const Polyline before{{-9, 20.9},  {9.9 - last, 20.9}, {9.9, 20.9},
                          {9.9, 21.5}, {9.9 - last, 21.5}, {-9, 21.5}};
    const Polyline after = kept(notched(deep), before);
    for (std::size_t i = 1; i < after.size(); ++i) {
      const Point d = after[i] - after[i - 1];
      const bool is_first_row = after[i].y < 21.2 && after[i - 1].y < 21.2;
      const bool is_second_row = after[i].y > 21.2 && after[i - 1].y > 21.2;
      if (is_first_row && std::abs(d.y) < 1e-9) {
        EXPECT_GE(d.x, std::min(shortest, last) - 1e-9);
      }
      if (is_second_row && std::abs(d.y) < 1e-9) {
        EXPECT_LE(d.x, 1e-9 - std::min(shortest, last));
      }
      n_drawn += std::abs(after[i].x - 9.9) < 1.85 && after[i].x < 9.9 - 1e-9 &&
                 std::abs(after[i].x - (9.9 - last)) > 1e-9;
    }
    EXPECT_EQ(after.front(), before.front());
    EXPECT_EQ(after.back(), before.back());
  }
  EXPECT_GT(n_drawn, 20);
}

// Two holes 0.19 mm apart beside a notch, in one piece or in two: one of them goes, and it is never
// the one that leads the thread round the notch.
TEST(KeepLimits, OfTwoNearHolesTheOneThatLeadsRoundStays) {
  const Recipe recipe = recipe_for(Style::cap);
  const geometry::Polygons outline = notched(3);
  const stitch::Within cloth = allowed_cloth(outline, recipe);
  const Point outer{9.9, 21.0}, inner{9.6, 20.9}, round{6.2, 20.95}, after{9.0, 21.75};
  ASSERT_FALSE(cloth.contains(outer, after));
  for (const bool first_leads : {false, true}) {
    for (const bool in_two : {false, true}) {
      SCOPED_TRACE(first_leads * 2 + in_two);
      const Point a = first_leads ? round : round + Point{0.19, 0};
      const Point b = first_leads ? round + Point{0.19, 0} : round;
      std::vector<Piece> pieces{{Layer::top, {{0, 20.5}, inner, outer, a, b, {6.2, 21.75}, after}}};
      if (in_two) {
        pieces = {{Layer::top, {{0, 20.5}, inner, outer, a}},
                  {Layer::top, {b, {6.2, 21.75}, after}}};
      }
      keep_limits(fill_on(outline), recipe, {false, false}, pieces);
      EXPECT_TRUE(stays_inside(pieces, cloth));
      Polyline all;
      for (const Piece& piece : pieces)
        all.insert(all.end(), piece.points.begin(), piece.points.end());
      for (std::size_t i = 1; i < all.size(); ++i) {
        EXPECT_GE(geometry::distance(all[i - 1], all[i]), stitch::Limits{}.shortest_any_mm);
      }
    }
  }
}

// A slip so narrow that no lock along its holes stays on it: the lock finds another way, or is sewn
// in one place; never past the outline.
TEST(KeepLimits, LocksLieOnTheCloth) {
  const Recipe recipe = recipe_for(Style::cap);
  int n_in_place = 0, n_long = 0;
  for (int k = 0; k < 30; ++k) {
    SCOPED_TRACE(k);
    const double half = 0.02 + 0.02 * k;
    // A speck about the first hole; the next holes lie far off, past its outline.
    const geometry::Polygons speck{
        {{{-half, 30 - half}, {half, 30 - half}, {half, 30 + half}, {-half, 30 + half}}, {}}};
    std::vector<Piece> pieces{{Layer::top, {{0, 30}, {3, 30.5}, {6, 31}}}};
    const stitch::Within cloth = allowed_cloth(speck, recipe);
    keep_limits(fill_on(speck), recipe, {true, false}, pieces);
    ASSERT_EQ(pieces.front().layer, Layer::lock);
    EXPECT_TRUE(stays_inside(pieces.front().points, cloth));
    EXPECT_EQ(pieces.front().points.front(), (Point{0, 30}));
    const bool is_in_place = pieces.front().points[1] == pieces.front().points[0];
    ++(is_in_place ? n_in_place : n_long);
  }
  EXPECT_GT(n_in_place, 0);
  EXPECT_GT(n_long, 10);
}

// Nothing but what a limit asks for: rows that keep every limit come back as they were.
TEST(KeepLimits, SoundRowsAreLeftAlone) {
  const geometry::Polygons strip{{{{-10, 20}, {10, 20}, {10, 23}, {-10, 23}}, {}}};
  const Polyline rows{{-9, 21}, {-3, 21}, {3, 21}, {9, 21}, {9, 21.4}, {3, 21.4}, {-3, 21.4}};
  EXPECT_EQ(kept(strip, rows), rows);
}

}  // namespace
}  // namespace buckram::digitise
