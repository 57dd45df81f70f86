// Letters at the seam: what moves, how far, and what holds a word where it is. Words are drawn as
// bars, so that where the stems stand is known without asking the code under test.
#include "artwork/artwork.h"
#include "base/base.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <string>

namespace buckram::tests {
namespace {

using artwork::Rgb;
using artwork::Spaced;
using geometry::Box;
using geometry::Polygon;

constexpr double kClear = 1.5;
constexpr geometry::Affine kHalfSize{0.5, 0, 0, -0.5, 0, 40};  // user units of half a millimetre

// On the chart, mm; user units are twice as many, y down.
Polygon bar(double x0, double y0, double width, double height) {
  const auto at = [](double x, double y) { return geometry::Point{2 * x, 2 * (40 - y)}; };
  return {{at(x0, y0 + height), at(x0 + width, y0 + height), at(x0 + width, y0), at(x0, y0)}, {}};
}

artwork::Shape shape(geometry::Polygons area, Rgb colour = {10, 20, 120}) {
  for (Polygon& polygon : area) {
    if (geometry::area(polygon.outer) < 0) polygon.outer = geometry::reversed(polygon.outer);
  }
  return {std::move(area), colour, "word", {}};
}

struct Bars {
  std::vector<double> x0;
  double width = 1.6;

  geometry::Polygons area() const {
    geometry::Polygons all;
    for (const double x : x0) all.push_back(bar(x, 18, width, 9));
    return all;
  }
};

Bars bars_about(double middle, int n_each_side, double step = 3.8) {
  Bars bars;
  for (int k = -n_each_side; k <= n_each_side; ++k) bars.x0.push_back(middle + k * step - 0.8);
  return bars;
}

std::vector<double> left_edges(const Spaced& spaced, std::size_t shape = 0) {
  std::vector<double> edges;
  for (const Polygon& polygon : spaced.drawing.shapes[shape].area) {
    edges.push_back(geometry::bounds(geometry::transformed(polygon, kHalfSize)).x0);
  }
  return edges;
}

bool is_half_on(double x0, double width) {
  const bool is_clear = x0 > kClear - 1e-6 || x0 + width < -kClear + 1e-6;
  return !is_clear && std::abs(x0 + width / 2) > 0.1 + 1e-6;
}

Spaced space(const std::vector<artwork::Shape>& shapes) {
  return artwork::space_at_seam({shapes, {}, {}, 0}, kHalfSize);
}

bool stood_still(const Spaced& spaced, const std::vector<artwork::Shape>& before) {
  for (std::size_t s = 0; s < before.size(); ++s) {
    if (spaced.drawing.shapes[s].area != before[s].area) return false;
  }
  return spaced.notes.empty();
}

TEST(SeamSpacing, AStemHalfOnTheSeamIsCentredAndItsWordSharesTheShift) {
  const Bars bars = bars_about(0.4, 3);
  const Spaced spaced = space({shape(bars.area())});
  const std::vector<double> x0 = left_edges(spaced);
  EXPECT_NEAR(x0[3], -0.8, 1e-6);
  EXPECT_NEAR(x0[2], bars.x0[2] - 0.4 * 2 / 3, 1e-6);
  EXPECT_NEAR(x0[4], bars.x0[4] - 0.4 * 2 / 3, 1e-6);
  EXPECT_NEAR(x0.front(), bars.x0.front(), 1e-6);
  EXPECT_NEAR(x0.back(), bars.x0.back(), 1e-6);
  ASSERT_EQ(spaced.notes.size(), 1u);
  EXPECT_EQ(spaced.notes[0].kind, "moved");
  EXPECT_NE(spaced.notes[0].why.find("0.4 mm to the left"), std::string::npos);
}

TEST(SeamSpacing, AStemBesideTheSeamIsMovedClearOfIt) {
  Bars bars;
  bars.x0 = {-9.0, -5.0, 1.2, 5.2, 9.0};
  const std::vector<double> x0 = left_edges(space({shape(bars.area())}));
  EXPECT_NEAR(x0[2], kClear, 1e-6);
}

TEST(SeamSpacing, AStemFurtherOffThanHalfAMillimetreIsLeftWhereItIs) {
  const std::vector<artwork::Shape> word{shape(bars_about(0.75, 3).area())};
  EXPECT_TRUE(stood_still(space(word), word));
}

TEST(SeamSpacing, TwoLettersAreNoWordAndPicturesAreNoLetters) {
  const std::vector<artwork::Shape> two{shape({bar(-0.4, 18, 1.6, 9), bar(3.4, 18, 1.6, 9)})};
  EXPECT_TRUE(stood_still(space(two), two));
  const std::vector<artwork::Shape> wide{
      shape({bar(-30, 18, 20, 9), bar(-8, 18, 20, 9), bar(14, 18, 20, 9)})};
  EXPECT_TRUE(stood_still(space(wide), wide));
}

TEST(SeamSpacing, ADotGoesWithItsLetter) {
  geometry::Polygons area = bars_about(0.4, 3).area();
  area.push_back(bar(-0.4, 28, 1.6, 1.6));
  const std::vector<double> x0 = left_edges(space({shape(area)}));
  EXPECT_NEAR(x0[3], -0.8, 1e-6);
  EXPECT_NEAR(x0[7], -0.8, 1e-6);
}

TEST(SeamSpacing, AGroundFarPastTheWordDoesNotHoldItAndClosesUpBehindIt) {
  const std::vector<artwork::Shape> badge{shape({bar(-20, 10, 40, 25)}, {220, 220, 220}),
                                          shape(bars_about(0.4, 3).area())};
  const Spaced spaced = space(badge);
  EXPECT_NEAR(left_edges(spaced, 1)[3], -0.8, 1e-6);
  EXPECT_EQ(spaced.drawing.shapes[0].area, badge[0].area);
}

TEST(SeamSpacing, AnOutlineUnderALetterOrANeighbourBesideItHoldsTheWord) {
  const std::vector<artwork::Shape> outlined{shape({bar(-0.8, 17.6, 2.4, 9.8)}, {200, 30, 30}),
                                             shape(bars_about(0.4, 3).area())};
  EXPECT_TRUE(stood_still(space(outlined), outlined));
  const std::vector<artwork::Shape> beside{shape(bars_about(0.4, 3).area()),
                                           shape({bar(-12, 27.5, 24, 1)}, {200, 30, 30})};
  EXPECT_TRUE(stood_still(space(beside), beside));
  const std::vector<artwork::Shape> over{shape(bars_about(0.4, 3).area()),
                                         shape({bar(0.1, 20, 0.6, 2)}, {250, 250, 250})};
  EXPECT_TRUE(stood_still(space(over), over));
}

TEST(SeamSpacing, LawsHoldForWordsMadeAtRandom) {
  base::Random random(20);
  int n_moved = 0, n_still = 0;
  for (int round = 0; round < 400; ++round) {
    Bars bars;
    bars.width = 1.0 + 1.5 * random.uniform();
    double x = -12 - 3 * random.uniform();
    for (int k = 0; k < 9; ++k) {
      bars.x0.push_back(x);
      x += bars.width + 0.6 + 2.0 * random.uniform();
    }
    const std::vector<artwork::Shape> word{shape(bars.area())};
    const std::vector<double> x0 = left_edges(space(word));
    int before = 0, after = 0;
    for (std::size_t k = 0; k < x0.size(); ++k) {
      before += is_half_on(bars.x0[k], bars.width);
      after += is_half_on(x0[k], bars.width);
      ASSERT_LE(std::abs(x0[k] - bars.x0[k]), 0.5 + 1e-6) << "round " << round;
      if (k == 0) continue;
      const double gap = bars.x0[k] - bars.x0[k - 1] - bars.width;
      ASSERT_GE(x0[k] - x0[k - 1] - bars.width, gap * 2 / 3 - 1e-6) << "round " << round;
    }
    const bool has_moved = x0[4] != bars.x0[4] || before != after;
    ASSERT_LE(after, before) << "round " << round;
    ASSERT_TRUE(after < before || !has_moved) << "round " << round;
    ++(after < before ? n_moved : n_still);
  }
  EXPECT_GT(n_moved, 40);
  EXPECT_GT(n_still, 40);
}

}  // namespace
}  // namespace buckram::tests
