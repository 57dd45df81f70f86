// Which installed font a name stands for. The fonts that the tests name are installed with them.
#include "artwork/installed_fonts.h"

#include "base/base.h"

#include <gtest/gtest.h>

#include <cstdlib>

namespace buckram::artwork {
namespace {

TEST(InstalledFonts, AWishIsKnownFromAStandIn) {
  const auto there = find_font({{"DejaVu Sans"}, 700, false});
  ASSERT_TRUE(there);
  EXPECT_TRUE(there->is_wished);
  EXPECT_EQ(there->family, "DejaVu Sans");
  const auto absent = find_font({{"No Such Face"}, 400, false});
  ASSERT_TRUE(absent);
  EXPECT_FALSE(absent->is_wished);
  const auto generic = find_font({{"serif"}, 400, false});
  ASSERT_TRUE(generic);
  EXPECT_TRUE(generic->is_wished);
}

// Fontconfig would prefer fonts of the machine's language; the plan must not depend on it.
TEST(InstalledFonts, AreTheSameInEveryLanguage) {
  const std::vector<std::string> families{"No Such Face", "sans-serif", "cursive"};
  std::vector<std::string> files;
  for (const char* language : {"C", "ja_JP.UTF-8", "ar_EG.UTF-8", "zh_CN.UTF-8"}) {
    ::setenv("FC_LANG", language, 1);
    std::string all;
    for (const std::string& family : families) all += find_font({{family}, 400, false})->file + ' ';
    files.push_back(all);
  }
  ::unsetenv("FC_LANG");
  for (const std::string& file : files) EXPECT_EQ(file, files.front());
}

std::string refusal(const std::string& name) {
  try {
    font_named(name);
  } catch (const base::Error& error) {
    EXPECT_EQ(error.code, base::ErrorCode::bad_job);
    EXPECT_EQ(error.where, "artwork.font");
    return base::message(error);
  }
  return "";
}

TEST(InstalledFonts, AreNamed) {
  EXPECT_EQ(font_named("DejaVu Sans:bold").family, "DejaVu Sans");
  EXPECT_NE(font_named("DejaVu Sans:bold").file, font_named("DejaVu Sans").file);
  EXPECT_EQ(font_named("a/b.ttf").file, "a/b.ttf");
  EXPECT_NE(refusal("DejaVu Sanz").find("DejaVu Sans"), std::string::npos);
  EXPECT_NE(refusal("").find("not installed"), std::string::npos);
}

// Kaushan Script comes in one weight.
TEST(InstalledFonts, AWeightThatIsNotThereIsRefused) {
  const std::string message = refusal("Kaushan Script:bold");
  EXPECT_NE(message.find("Regular"), std::string::npos) << message;
  EXPECT_NE(message.find("Ask for \"Kaushan Script\""), std::string::npos) << message;
  EXPECT_EQ(refusal("Kaushan Script"), "");
}

TEST(InstalledFonts, FilesAreToldFromNames) {
  for (const char* file : {"a/b", "x.ttf", "X.OTF", "y.ttc", "./z"})
    EXPECT_TRUE(is_font_file(file));
  for (const char* name : {"Roboto", "St. Keld Sans", "DejaVu Sans:bold", ""}) {
    EXPECT_FALSE(is_font_file(name)) << name;
  }
}

TEST(InstalledFonts, EachFileIsLoadedOnce) {
  LoadedFonts fonts;
  const auto* a = fonts.find({{"DejaVu Sans"}, 400, false}, "t");
  const auto* b = fonts.find({{"DejaVu Sans", "serif"}, 410, false}, "t");
  ASSERT_NE(a, nullptr);
  ASSERT_NE(b, nullptr);
  EXPECT_EQ(a->face, b->face);
}

TEST(InstalledFonts, WishesWithoutEndAreRefused) {
  LoadedFonts fonts;
  try {
    for (int i = 0; i < 2000; ++i) fonts.find({{"Face" + std::to_string(i)}, 400, false}, "t");
    FAIL() << "all taken";
  } catch (const base::Error& error) {
    EXPECT_EQ(error.code, base::ErrorCode::bad_artwork);
    EXPECT_EQ(error.where, "t");
  }
}

}  // namespace
}  // namespace buckram::artwork
