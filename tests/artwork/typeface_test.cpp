// Letters of fonts. Advances and heights are those of the fonts' own tables (hmtx, OS/2, hhea of
// DejaVu Sans 2.37), read once with ttx.
#include "artwork/typeface.h"

#include "artwork/installed_fonts.h"
#include "base/base.h"

#include <gtest/gtest.h>

#include <numeric>

namespace buckram::artwork {
namespace {

Typeface dejavu() {
  return load(font_named("DejaVu Sans"));
}

double length(const std::vector<Letter>& letters) {
  return std::accumulate(letters.begin(), letters.end(), 0.0,
                         [](double sum, const Letter& l) { return sum + l.advance; });
}

geometry::Box box_of(const Letter& letter) {
  return rough_box(letter.outline, {});
}

TEST(Typeface, AdvancesAreThoseOfTheFontsTable) {
  const auto letters = dejavu().letters("lH", true);
  ASSERT_EQ(letters.size(), 2u);
  EXPECT_NEAR(letters[0].advance, 569.0 / 2048, 1e-9);
  EXPECT_NEAR(letters[1].advance, 1540.0 / 2048, 1e-9);
  EXPECT_EQ(letters[1].byte, 1u);
  EXPECT_NEAR(box_of(letters[1]).y0, -1493.0 / 2048, 1e-6);  // cap height, up is negative
  EXPECT_NEAR(box_of(letters[1]).y1, 0, 1e-9);
}

TEST(Typeface, HeightsAreThoseOfTheFont) {
  EXPECT_NEAR(dejavu().ascent(), 1901.0 / 2048, 1e-6);
  EXPECT_NEAR(dejavu().descent(), 483.0 / 2048, 1e-6);
  EXPECT_NEAR(dejavu().x_height(), 1120.0 / 2048, 1e-6);
}

// A pair that the font kerns stands closer than its letters alone (GPOS).
TEST(Typeface, PairsAreKerned) {
  const Typeface face = dejavu();
  EXPECT_LT(length(face.letters("AV", true)),
            length(face.letters("A", true)) + length(face.letters("V", true)) - 0.01);
}

// fi is one glyph in this font where letters may join.
TEST(Typeface, LettersJoinOnlyWhereTheyMay) {
  EXPECT_EQ(dejavu().letters("fi", true).size(), 1u);
  EXPECT_EQ(dejavu().letters("fi", false).size(), 2u);
}

// A letter and the mark on it (U+0308, no place of its own in Unicode with x) are one letter as
// wide as the letter alone, taller by the mark.
TEST(Typeface, AMarkBelongsToItsLetter) {
  const Typeface face = dejavu();
  const auto bare = face.letters("x", true), marked = face.letters("x\xCC\x88", true);
  ASSERT_EQ(marked.size(), 1u);
  EXPECT_NEAR(marked[0].advance, bare[0].advance, 1e-9);
  EXPECT_LT(box_of(marked[0]).y0, box_of(bare[0]).y0 - 0.05);
  EXPECT_FALSE(marked[0].is_missing);
}

// DejaVu Sans draws U+FFFD, which text converters put for bytes they cannot read; those bytes must
// not come out as its question mark.
TEST(Typeface, BrokenBytesAndLettersItHasNotAreMissing) {
  const Typeface face = dejavu();
  for (const char* text : {"\xFF", "a\xC3", "\xF3\xB0\x80\x80"}) {
    const auto letters = face.letters(text, true);
    ASSERT_FALSE(letters.empty());
    EXPECT_TRUE(letters.back().is_missing) << base::shown(text);
    EXPECT_TRUE(letters.back().outline.empty());
  }
  EXPECT_FALSE(face.letters("\xEF\xBF\xBD", true).front().is_missing);
}

TEST(Typeface, WhatIsNoFontIsRefused) {
  for (const std::string& bytes :
       {std::string(), std::string("no font"), std::string(5000, '\0')}) {
    try {
      Typeface(bytes, 0, "a.ttf");
      FAIL() << "taken";
    } catch (const base::Error& error) {
      EXPECT_EQ(error.code, base::ErrorCode::bad_artwork);
      EXPECT_EQ(error.where, "a.ttf");
    }
  }
}

}  // namespace
}  // namespace buckram::artwork
