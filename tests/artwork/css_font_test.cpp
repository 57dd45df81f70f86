// Font properties, by the text of CSS Fonts Module Level 3 (W3C, 2018).
#include "artwork/css_font.h"

#include <gtest/gtest.h>

namespace buckram::artwork {
namespace {

using Names = std::vector<std::string>;

TEST(CssFont, FamiliesKeepTheirOrderAndLoseTheirQuotes) {
  EXPECT_EQ(parse_families("'Fine Hand', \"Oar\" , serif"), (Names{"Fine Hand", "Oar", "serif"}));
  EXPECT_EQ(parse_families(" , ,"), (Names{"sans-serif"}));
  EXPECT_EQ(parse_families(""), (Names{"sans-serif"}));
}

// The table of bolder and lighter in 3.2.
TEST(CssFont, WeightsStepAsTheTableSays) {
  const struct {
    int parent, bolder, lighter;
  } rows[] = {{100, 400, 100}, {200, 400, 100}, {300, 400, 100}, {400, 700, 100}, {500, 700, 100},
              {600, 900, 400}, {700, 900, 400}, {800, 900, 700}, {900, 900, 700}};
  for (const auto& row : rows) {
    EXPECT_EQ(parse_weight("bolder", row.parent), row.bolder) << row.parent;
    EXPECT_EQ(parse_weight("lighter", row.parent), row.lighter) << row.parent;
  }
  EXPECT_EQ(parse_weight("normal", 700), 400);
  EXPECT_EQ(parse_weight("bold", 400), 700);
  EXPECT_EQ(parse_weight("350", 400), 350);
  for (const char* wrong : {"0", "1001", "-400", "heavy", "400px", ""}) {
    EXPECT_EQ(parse_weight(wrong, 400), std::nullopt) << wrong;
  }
}

// The examples of 3.7.
TEST(CssFont, TheShorthandsOfTheStandardAreRead) {
  const auto plain = parse_font("12pt/14pt sans-serif", 400);
  ASSERT_TRUE(plain);
  EXPECT_EQ(plain->size, "12pt");
  EXPECT_EQ(plain->wish, (FontWish{{"sans-serif"}, 400, false}));
  const auto percent = parse_font("80% sans-serif", 400);
  ASSERT_TRUE(percent);
  EXPECT_EQ(percent->size, "80%");
  const auto worded = parse_font("x-large/110% \"new century schoolbook\", serif", 400);
  ASSERT_TRUE(worded);
  EXPECT_EQ(worded->size, "x-large");
  EXPECT_EQ(worded->wish.families, (Names{"new century schoolbook", "serif"}));
  const auto bold = parse_font("bold italic large Palatino, serif", 400);
  ASSERT_TRUE(bold);
  EXPECT_EQ(bold->wish, (FontWish{{"Palatino", "serif"}, 700, true}));
  EXPECT_EQ(bold->size, "large");
  for (const char* wrong : {"bold", "12px", "serif", "", "12px/1.2"}) {
    EXPECT_FALSE(parse_font(wrong, 400)) << wrong;
  }
}

// The scaling factors of 3.5.
TEST(CssFont, SizesInWords) {
  EXPECT_NEAR(parse_worded_size("small")->factor, 8.0 / 9, 1e-12);
  EXPECT_NEAR(parse_worded_size("xx-large")->factor, 2, 1e-12);
  EXPECT_TRUE(parse_worded_size("smaller")->is_relative);
  EXPECT_FALSE(parse_worded_size("12px"));
}

}  // namespace
}  // namespace buckram::artwork
