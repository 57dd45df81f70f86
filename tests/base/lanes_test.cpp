#include "base/base.h"

#include <gtest/gtest.h>

namespace buckram::base {
namespace {

using Lanes = std::array<double, 4>;

Lanes lanes(Four four) {
  return std::bit_cast<Lanes>(four);
}
Four four(double a, double b, double c, double d) {
  return std::bit_cast<Four>(Lanes{a, b, c, d});
}

// The library's functions, to within what the header promises.
TEST(Four, FunctionsAreTheLibrarys) {
  Random random(1);
  for (int k = 0; k < 20000; ++k) {
    const double x = random.uniform(-40, 40), y = random.uniform(-8, 8);
    EXPECT_NEAR(lanes(exp_of(four(0, x, 1, -x)))[1] / std::exp(x), 1, 1e-8);
    EXPECT_NEAR(lanes(upper_tail(four(y, 0, -y, 2)))[0] / (0.5 * std::erfc(y / std::sqrt(2.0))), 1,
                5e-8);
    EXPECT_EQ(lanes(root(four(1, 2, x * x, 3)))[2], std::sqrt(x * x));
    EXPECT_NEAR(lanes(logistic(four(x, x, x, x)))[3], 1 / (1 + std::exp(-x)), 1e-8);
  }
  EXPECT_EQ(lanes(exp_of(Four(-800)))[0], lanes(exp_of(Four(-700)))[0]);
}

TEST(Four, EachNumberIsItsOwn) {
  const Four x = four(1, -2, 3, -4), y = four(2, 2, -2, -2);
  EXPECT_EQ(lanes(x + y), (Lanes{3, 0, 1, -6}));
  EXPECT_EQ(lanes(x - 1), (Lanes{0, -3, 2, -5}));
  EXPECT_EQ(lanes(2 * x), (Lanes{2, -4, 6, -8}));
  EXPECT_EQ(lanes(x / y), (Lanes{0.5, -1, -1.5, 2}));
  EXPECT_EQ(lanes(-x), (Lanes{-1, 2, -3, 4}));
  EXPECT_EQ(lanes(larger(x, y)), (Lanes{2, 2, 3, -2}));
  EXPECT_EQ(lanes(smaller(x, y)), (Lanes{1, -2, -2, -4}));
  EXPECT_EQ(lanes(select(x < y, x, Four(9))), (Lanes{1, -2, 9, -4}));
  EXPECT_EQ(lanes(each_of(x, [](double v) { return v * v; })), (Lanes{1, 4, 9, 16}));
  EXPECT_TRUE(any(x > 2.5));
  EXPECT_FALSE(any(x > 3));
  EXPECT_TRUE(any(four(0, 0, 0, 1) > 0));
  EXPECT_EQ(sum_of(x), -2);
  EXPECT_EQ(largest_of(x), 3);
  EXPECT_TRUE(std::signbit(lanes(-Four(0))[0]));
}

}  // namespace
}  // namespace buckram::base
