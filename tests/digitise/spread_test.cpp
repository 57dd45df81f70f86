// Hidden holes kept clear of each other, on scribbles over one piece of cloth.
#include "digitise/spread.h"

#include "base/base.h"
#include "digitise/digitise.h"

#include <gtest/gtest.h>

namespace buckram::digitise {
namespace {

using geometry::Point;
using geometry::Polyline;
using stitch::Layer;

constexpr double kNearMm = 0.25;

const geometry::Polygons& cloth() {
  static const geometry::Polygons square{{{{0, 0}, {30, 0}, {30, 30}, {0, 30}}, {}}};
  return square;
}

std::vector<Piece> spread(std::vector<Piece> pieces) {
  spread_hidden(pieces, stitch::Within(cloth()), Recipe{});
  return pieces;
}

Polyline holes(const std::vector<Piece>& pieces, bool hidden_only) {
  Polyline all;
  for (const Piece& piece : pieces) {
    const bool is_hidden = piece.layer == Layer::under || piece.layer == Layer::travel;
    if (is_hidden || !hidden_only) all.insert(all.end(), piece.points.begin(), piece.points.end());
  }
  return all;
}

int n_crowded(const std::vector<Piece>& pieces) {
  const Polyline all = holes(pieces, true);
  int n = 0;
  for (std::size_t i = 0; i < all.size(); ++i) {
    bool is_near = false;
    for (std::size_t k = 0; k < all.size(); ++k)
      is_near = is_near || (k != i && geometry::distance(all[i], all[k]) < kNearMm);
    n += is_near;
  }
  return n;
}

// A way of `n` stitches of 0.8 to 3 mm, each within 0.9 radians of the one before, on the cloth.
Polyline scribble(base::Random& random, Point from, int n) {
  Polyline line{from};
  double heading = random.uniform(0, 2 * base::kPi);
  while (static_cast<int>(line.size()) < n) {
    heading += random.uniform(-0.9, 0.9);
    const double mm = random.uniform(0.8, 3);
    const Point next = line.back() + Point{std::cos(heading), std::sin(heading)} * mm;
    const bool is_on = next.x > 0.5 && next.x < 29.5 && next.y > 0.5 && next.y < 29.5;
    is_on ? line.push_back(next) : void(heading += 0.7);
  }
  return line;
}

TEST(Spread, TravelBackOverTheWayOutUsesNoHoleTwice) {
  Polyline out;
  for (int i = 0; i <= 10; ++i) out.push_back({2 + 2.2 * i, 15});
  const Polyline back(out.rbegin() + 1, out.rend());
  const std::vector<Piece> made =
      spread({{Layer::travel, out}, {Layer::travel, back}, {Layer::top, {{2, 16}, {2, 20}}}});
  EXPECT_EQ(n_crowded({{Layer::travel, out}, {Layer::travel, back}}), 20);
  EXPECT_EQ(n_crowded(made), 0);
  for (const Point p : holes(made, true)) EXPECT_NEAR(p.y, 15, 0.3);
}

TEST(Spread, AnEdgeRunClosesBesideItsFirstHole) {
  const Polyline ring{{5, 5}, {7, 5}, {9, 5}, {9, 7}, {9, 9}, {7, 9}, {5, 9}, {5, 7}, {5, 5}};
  const std::vector<Piece> made = spread({{Layer::under, ring}, {Layer::top, {{4, 4}, {10, 4}}}});
  EXPECT_EQ(n_crowded({{Layer::under, ring}}), 2);
  EXPECT_EQ(n_crowded(made), 0);
}

// The laws of the header, over scribbles that cross themselves over and over.
TEST(Spread, LawsHoldOnScribbles) {
  const Recipe recipe;
  const stitch::Within within(cloth());
  base::Random random(20);
  int before = 0, after = 0;
  for (int trial = 0; trial < 60; ++trial) {
    SCOPED_TRACE(trial);
    const Polyline first = scribble(random, {15, 15}, 120);
    const Polyline second = scribble(random, geometry::mix(first.back(), {15, 15}, 0.1), 120);
    const std::vector<Piece> given{
        {Layer::under, first}, {Layer::travel, second}, {Layer::top, {{3, 3}, {6, 3}}}};
    const std::vector<Piece> made = spread(given);
    before += n_crowded(given), after += n_crowded(made);
    const Polyline old_holes = holes(given, false), new_holes = holes(made, false);
    EXPECT_EQ(new_holes.front(), old_holes.front());
    EXPECT_EQ(new_holes.back(), old_holes.back());
    EXPECT_EQ(made.back().points, given.back().points) << "the top layer is left alone";
    double longest = recipe.longest_mm, shortest = recipe.shortest_mm;
    for (std::size_t i = 1; i + 1 < old_holes.size(); ++i) {
      const double mm = geometry::distance(old_holes[i - 1], old_holes[i]);
      longest = std::max(longest, mm), shortest = std::min(shortest, mm);
    }
    for (std::size_t i = 1; i + 1 < new_holes.size(); ++i) {
      const double mm = geometry::distance(new_holes[i - 1], new_holes[i]);
      EXPECT_GE(mm, shortest - 1e-9);
      EXPECT_LE(mm, longest + 1e-9);
      EXPECT_TRUE(within.contains(new_holes[i - 1], new_holes[i]));
    }
  }
  EXPECT_GT(before, 500);
  EXPECT_LT(after, before / 20);
}

// A tip of the outline sewn out and back over its own holes.
TEST(Spread, ATipSewnOutAndBackUsesNoHoleTwice) {
  const Polyline tip{{2, 15},      {5.75, 15}, {9, 15},   {11, 14.8},  {12.4, 14.3}, {13.6, 13.5},
                     {12.4, 14.3}, {11, 14.8}, {9.3, 15}, {9.3, 14.6}, {5, 14.6},    {2, 14.6}};
  std::vector<Piece> made{{Layer::top, tip}};
  spread_rows(made, stitch::Within(cloth()), Recipe{});
  const Polyline& holes = made.front().points;
  ASSERT_EQ(holes.size(), tip.size());
  for (std::size_t i = 0; i < holes.size(); ++i) {
    for (std::size_t k = 0; k < i; ++k)
      EXPECT_GE(geometry::distance(holes[i], holes[k]), kNearMm) << i << " " << k;
    EXPECT_LE(geometry::distance(holes[i], tip[i]), 0.3 + 1e-9);
  }
}

// Rows of stitches of 0.4 to 3.75 mm laid one over another, every other sewn the other way.
TEST(Spread, LawsHoldOnRows) {
  const Recipe recipe;
  base::Random random(21);
  int before = 0, after = 0;
  for (int trial = 0; trial < 40; ++trial) {
    SCOPED_TRACE(trial);
    Polyline rows;
    for (int row = 0; row < 40; ++row) {
      Polyline line;
      const double y = 8 + 0.4 * random.below(30);
      for (double x = 2 + random.uniform(0, 0.4); x < 28; x += random.uniform(0.8, 3.75))
        line.push_back({x, y});
      if (row % 2 == 1) std::reverse(line.begin(), line.end());
      rows.insert(rows.end(), line.begin(), line.end());
    }
    std::vector<Piece> made{{Layer::top, rows}};
    spread_rows(made, stitch::Within(cloth()), recipe);
    before += n_crowded({{Layer::under, rows}});
    after += n_crowded({{Layer::under, made.front().points}});
    const Polyline& holes = made.front().points;
    EXPECT_EQ(holes.front(), rows.front());
    EXPECT_EQ(holes.back(), rows.back());
    double least = recipe.shortest_mm;
    for (std::size_t i = 1; i < rows.size(); ++i)
      least = std::min(least, geometry::distance(rows[i - 1], rows[i]));
    for (std::size_t i = 1; i < holes.size(); ++i)
      EXPECT_GE(geometry::distance(holes[i - 1], holes[i]), least - 1e-9);
  }
  EXPECT_GT(before, 1000);
  EXPECT_LT(after, before / 4);
}

}  // namespace
}  // namespace buckram::digitise
