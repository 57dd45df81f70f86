#include "base/random.h"

#include <gtest/gtest.h>

#include <cmath>

namespace buckram::base {
namespace {

// Quantiles of the standard normal distribution: Abramowitz and Stegun, table 26.5 and 26.6
// (p, z to the digits printed there; 0.975 and 0.9995 from memory of the same tables).
TEST(NormalQuantile, MatchesPrintedTables) {
  EXPECT_NEAR(normal_quantile(0.5), 0, 1e-12);
  EXPECT_NEAR(normal_quantile(0.975), 1.95996, 5e-6);
  EXPECT_NEAR(normal_quantile(0.9995), 3.29053, 5e-6);
  EXPECT_NEAR(normal_quantile(0.01), -2.32635, 5e-6);
}

// The distribution function is erfc, an independent route: one undoes the other.
TEST(NormalQuantile, InvertsTheDistributionFunction) {
  for (double p = 1e-12; p < 1; p = p < 0.5 ? p * 1.7 : 1 - (1 - p) / 1.7) {
    if (1 - p < 1e-10) break;
    EXPECT_NEAR(normal_cdf(normal_quantile(p)) / p, 1, 1e-7) << p;
  }
}

TEST(Random, SameSeedSameNumbers) {
  Random a(7), b(7), c(8);
  bool differs = false;
  for (int i = 0; i < 100; ++i) {
    const auto x = a.next();
    EXPECT_EQ(x, b.next());
    differs = differs || x != c.next();
  }
  EXPECT_TRUE(differs);
}

TEST(Random, MomentsOfUniformAndNormal) {
  Random random(1);
  const int n = 200'000;
  double mean_u = 0, mean_z = 0, square_z = 0;
  for (int i = 0; i < n; ++i) {
    const double u = random.uniform();
    ASSERT_GE(u, 0);
    ASSERT_LT(u, 1);
    mean_u += u / n;
    const double z = random.normal();
    mean_z += z / n;
    square_z += z * z / n;
  }
  // Five standard errors each.
  EXPECT_NEAR(mean_u, 0.5, 5 * std::sqrt(1 / 12.0 / n));
  EXPECT_NEAR(mean_z, 0, 5 / std::sqrt(n));
  EXPECT_NEAR(square_z, 1, 5 * std::sqrt(2.0 / n));
}

TEST(Random, BelowCoversItsRange) {
  Random random(3);
  int seen[5] = {};
  for (int i = 0; i < 5000; ++i) ++seen[random.below(5)];
  for (const int n : seen) EXPECT_NEAR(n, 1000, 150);
}

}  // namespace
}  // namespace buckram::base
