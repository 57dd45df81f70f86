// The forecast against brute force of the whole chain (whole_chain.h), on the examples' plans.
// bench/needle/whole_chain.cpp runs the same with more caps and tells the errors.
#include "job/practice_matrix.h"
#include "job/whole_chain.h"

#include <gtest/gtest.h>

namespace buckram::practice {
namespace {

struct Trial {
  double forecast = 0;
  Simulated brute;
  double ratio() const { return forecast / brute.breaks_per_cap; }
  double error() const { return brute.standard_error / brute.breaks_per_cap; }
};

Trial trial_of(const Shop& shop, const Logo& logo, bool is_sound, int caps) {
  const std::string svg =
      base::read_file(std::string(BUCKRAM_ROOT "/examples/") + logo.file, 1 << 20);
  const stitch::Plan plan = planned(shop, svg, {logo.size});
  const cap::Setup setup = chain_setup(shop, logo, is_sound);
  return {forecast_of(plan, setup, *shop.mechanics).breaks_per_cap,
          WholeChain(plan, setup, *shop.mechanics).run(caps, 7, true)};
}

TEST(SlowChain, CarelessSetupsAgreeWithBruteForce) {
  const Shop shop(BUCKRAM_ROOT "/data");
  for (const Logo& logo : kLogos) {
    const Trial t = trial_of(shop, logo, false, 4000);
    EXPECT_GT(t.brute.breaks_per_cap, 0.05) << logo.name;
    EXPECT_LT(t.brute.breaks_per_cap, 0.5) << logo.name;
    EXPECT_LT(t.error(), 0.05) << logo.name;
    EXPECT_NEAR(t.ratio(), 1, 0.05 + 2 * t.error()) << logo.name;
  }
}

TEST(SlowChain, SoundSetupsAgreeWithBruteForce) {
  const Shop shop(BUCKRAM_ROOT "/data");
  for (const Logo& logo : kLogos) {
    const Trial t = trial_of(shop, logo, true, 1000);
    EXPECT_LT(t.brute.breaks_per_cap, 0.02) << logo.name;
    EXPECT_LT(t.error(), 0.12) << logo.name;
    EXPECT_NEAR(t.ratio(), 1, 0.25) << logo.name;
  }
}

// The mean of the drawn caps has converged: within 3 % of ten times as many, on every example.
TEST(SlowChain, DrawsHaveConvergedOnTheExamples) {
  const int kUsual = needle::ForecastOptions{}.draws;
  const Shop shop(BUCKRAM_ROOT "/data");
  for (const Logo& logo : kLogos) {
    const std::string svg =
        base::read_file(std::string(BUCKRAM_ROOT "/examples/") + logo.file, 1 << 20);
    const stitch::Plan plan = planned(shop, svg, {logo.size});
    for (const char* plate : {"rotary", "rotary-raised"}) {
      const cap::Setup setup = shop.setup(kCrowns[1], plate);
      const double told = forecast_of(plan, setup, *shop.mechanics, kUsual).breaks_per_cap;
      const double many = forecast_of(plan, setup, *shop.mechanics, 8192).breaks_per_cap;
      EXPECT_NEAR(told / many, 1, 0.03) << logo.name << ' ' << plate;
    }
  }
}

}  // namespace
}  // namespace buckram::practice
