#include "base/error.h"

#include <gtest/gtest.h>

namespace buckram::base {
namespace {

TEST(Error, MessageNamesPlaceFindingAndHint) {
  const Error error{ErrorCode::bad_job, "height is 5000 mm, outside 1 to 400", "crest.toml",
                    "Choose a smaller height"};
  EXPECT_EQ(message(error),
            "crest.toml: height is 5000 mm, outside 1 to 400. Choose a smaller height.");
}

TEST(Error, EmptyPartsAreLeftOut) {
  EXPECT_EQ(message({ErrorCode::cancelled, "stopped", "", ""}), "stopped.");
  EXPECT_EQ(message({ErrorCode::bad_job, "what is this?", "", "Did you mean that?"}),
            "what is this? Did you mean that?");
}

TEST(Error, WithinPutsTheOuterPlaceFirst) {
  const Error error{ErrorCode::bad_artwork, "no points", "path 3", ""};
  EXPECT_EQ(within(error, "crest.svg").where, "crest.svg: path 3");
  EXPECT_EQ(within({ErrorCode::bad_artwork, "x", "", ""}, "crest.svg").where, "crest.svg");
}

TEST(Error, EveryCodeHasARowWithAnExitStatusOfTwo) {
  for (int i = 0; i < static_cast<int>(ErrorCode::count_); ++i) {
    const ErrorKind& kind = error_kind(static_cast<ErrorCode>(i));
    EXPECT_FALSE(kind.name.empty());
    EXPECT_FALSE(kind.sentence.empty());
    EXPECT_EQ(kind.exit_status, 2) << kind.name;  // bad input, by the command line's contract
    EXPECT_GE(kind.http_status, 400) << kind.name;
  }
}

}  // namespace
}  // namespace buckram::base
