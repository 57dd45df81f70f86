// Which shapes make a row of small lettering. The limits of 6.4 mm on caps and 5 mm on flats in
// size-40 thread are common practice, no source.
#include "digitise/small_rows.h"

#include "digitise/digitise.h"

#include <gtest/gtest.h>

namespace buckram::digitise {
namespace {

// `n` letters 0.7 times as wide as high, side by side from (x, y).
std::vector<Shape> word(int n, double height_mm, double x = 0, double y = 0, int thread = 0) {
  std::vector<Shape> shapes;
  for (int i = 0; i < n; ++i) {
    const double left = x + i * height_mm;
    shapes.push_back({{left, y, left + 0.7 * height_mm, y + height_mm}, thread, "word"});
  }
  return shapes;
}

std::vector<Shape> operator+(std::vector<Shape> a, const std::vector<Shape>& b) {
  a.insert(a.end(), b.begin(), b.end());
  return a;
}

TEST(SmallRows, OneNoteARowWithItsHeightAndPlace) {
  const auto notes = small_rows(word(9, 4), {});
  ASSERT_EQ(notes.size(), 1u);
  EXPECT_EQ(notes[0].kind, "small");
  EXPECT_EQ(notes[0].source, "word");
  EXPECT_NEAR(notes[0].at.x, (8 * 4 + 0.7 * 4) / 2, 1e-9);
  EXPECT_NEAR(notes[0].at.y, 2, 1e-9);
  EXPECT_NE(notes[0].why.find("4.0 mm"), std::string::npos);
}

TEST(SmallRows, LinesOfTextAreRowsOfTheirOwn) {
  EXPECT_EQ(small_rows(word(5, 4) + word(7, 4, 0, 6), {}).size(), 2u);
  EXPECT_EQ(small_rows(word(5, 4) + word(5, 4, 60), {}).size(), 2u);
}

TEST(SmallRows, SmallLettersAreJudgedByTheirCapital) {
  EXPECT_TRUE(small_rows(word(1, 7) + word(6, 4.5, 7), {}).empty());
  EXPECT_EQ(small_rows(word(1, 6) + word(6, 4, 6), {}).size(), 1u);
}

TEST(SmallRows, NoneForLargeOrFewShapes) {
  EXPECT_TRUE(small_rows(word(9, 6.4), {}).empty());
  EXPECT_TRUE(small_rows(word(2, 4), {}).empty());
  EXPECT_TRUE(small_rows(word(9, 1), {}).empty());  // dots
  EXPECT_TRUE(small_rows(word(2, 4) + word(2, 4, 8, 0, 1), {}).empty());
}

TEST(SmallRows, TheLimitFollowsTheClothAndTheThread) {
  Recipe recipe;
  EXPECT_NEAR(least_lettering_mm(recipe), 6.4, 1e-9);
  recipe.style = Style::flat;
  EXPECT_NEAR(least_lettering_mm(recipe), 5.0, 1e-9);
  EXPECT_FALSE(small_rows(word(9, 4.5), recipe).empty());
  recipe.thread_mm = 0.3;
  EXPECT_TRUE(small_rows(word(9, 4.5), recipe).empty());
}

TEST(Notes, OfOneKindOnOneElementAreOneThatTellsTheSmallest) {
  artwork::Regions regions;
  artwork::Region region;
  region.source = "specks";
  for (int i = 0; i < 3; ++i) {
    const double x = 5.0 * i;
    const double side = i == 1 ? 0.18 : 0.2;
    region.sewn.push_back({{{x, 0}, {x + side, 0}, {x + side, side}, {x, side}}, {}});
  }
  region.visible = region.sewn;
  regions.regions = {region};
  const Digitised all = make_objects(regions, {});
  ASSERT_EQ(all.notes.size(), 1u);
  EXPECT_EQ(all.notes[0].kind, "left_out");
  EXPECT_EQ(all.notes[0].why, "3 parts, the smallest 0.03 mm², too small to sew");
}

}  // namespace
}  // namespace buckram::digitise
