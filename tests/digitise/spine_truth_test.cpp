// Spines against lines that are known: letters drawn with one line a stroke, thickened.
//
// Source: A. V. Hershey's Roman letters of one stroke ("Calligraphy for computers", 1967; Debian's
// hershey-fonts-data, rowmans). Bars: dropping the axis's branches by their slope alone was
// measured on the same letters at 0.15 to 0.19 of the stroke's width and 91 to 94 % of the length.
// The test cannot see strokes that swell, nor ends that are not square.
#include "digitise/hershey.h"
#include "digitise/strip_shapes.h"

#include <gtest/gtest.h>

namespace buckram::digitise {
namespace {

class SpineTruth : public testing::TestWithParam<double> {};

TEST_P(SpineTruth, SpinesOfThickenedLettersLieOnTheLinesTheyWereDrawnWith) {
  constexpr double kCapMm = 10;
  const double width = GetParam();
  const auto truth = hershey::truth("rowmans", kCapMm, width, strips::bare_recipe());
  ASSERT_EQ(truth.n_letters, 62) << "is hershey-fonts-data installed?";
  EXPECT_LT(truth.p95, 0.10) << width;
  EXPECT_GT(truth.kept, 0.96) << width;
  EXPECT_GT(truth.length, 0.95) << width;  // no more is lost than hides under what runs through
  EXPECT_LT(truth.length, 1.02) << width;  // nor is a stroke sewn twice
}

INSTANTIATE_TEST_SUITE_P(Widths, SpineTruth, testing::Values(0.8, 1.2, 1.6, 2.2));

}  // namespace
}  // namespace buckram::digitise
