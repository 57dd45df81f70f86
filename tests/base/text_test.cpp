#include "base/text.h"

#include <gtest/gtest.h>

namespace buckram::base {
namespace {

// Boundary cases of RFC 3629: first and last character of each length, and what just misses them.
TEST(Utf8, TakesWhatTheStandardTakesAndNothingElse) {
  for (const char* good :
       {"", "cap.svg", "\x7f", "\xc2\x80", "\xdf\xbf", "\xe0\xa0\x80", "\xed\x9f\xbf",
        "\xee\x80\x80", "\xef\xbf\xbf", "\xf0\x90\x80\x80", "\xf4\x8f\xbf\xbf", "κέπι.svg"}) {
    EXPECT_TRUE(is_utf8(good)) << shown(good);
    EXPECT_TRUE(is_utf8(std::string("a") + good + "z"));
  }
  for (const char* bad : {"\x80", "\xbf", "\xc0\x80", "\xc1\xbf", "\xc2", "\xc2 ", "\xe0\x9f\xbf",
                          "\xe0\xa0", "\xed\xa0\x80", "\xed\xbf\xbf", "\xf0\x8f\xbf\xbf",
                          "\xf4\x90\x80\x80", "\xf5\x80\x80\x80", "\xfe", "\xff", "\xf0\x90\x80"}) {
    EXPECT_FALSE(is_utf8(bad)) << shown(bad);
    EXPECT_FALSE(is_utf8(std::string("a") + bad + "z"));
  }
}

TEST(Shown, OnlyWhatIsNoCharacterIsSpelled) {
  EXPECT_EQ(shown("caf\xe9.svg"), "caf\\xe9.svg");
  EXPECT_EQ(shown("κ\n\xc2"), "κ\\x0a\\xc2");
}

}  // namespace
}  // namespace buckram::base
