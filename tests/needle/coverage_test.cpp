// Does the 90 % interval hold the truth nine times in ten? Shops are made up: each has constants
// and a gap field of its own, drawn from what the mechanics say is not known; its true breaks per
// cap are worked out with them on every place, and asked for in the interval that the forecast told
// before anything was known of that shop.
#include "needle/draws.h"
#include "needle/evaluate.h"
#include "needle/penetration.h"
#include "needle/synthetic.h"

#include <gtest/gtest.h>

namespace buckram::needle {
namespace {

using namespace testing;

double true_breaks(const stitch::Plan& plan, const cap::Setup& setup, const Mechanics& common,
                   base::Random& random) {
  Mechanics own = common;
  for (const Mechanics::Uncertain& constant : common.uncertain) {
    own.*constant.value *= std::exp(constant.log_sd * random.normal());
  }
  std::array<double, 3> modes{};
  for (double& mode : modes) mode = random.normal();
  const Places places = places_of(plan, setup, own, crowding(plan, own));
  return evaluate(places, own, draw_caps(own, 32, random.next(), modes)).breaks;
}

struct Coverage {
  int held = 0, below = 0, above = 0;
};

Coverage coverage_of(int n_shops) {
  const auto m = shipped_mechanics();
  const stitch::Plan plan = block_logo(14, 38, 12);
  struct Bench {
    const char* cap;
    const char* mount;
  };
  const Bench benches[] = {{"six-panel-structured-low", "rotary"},
                           {"six-panel-structured-mid", "rotary-raised"},
                           {"six-panel-structured-high", "rotary"},
                           {"six-panel-soft-low", "flat-cap-hoop"}};
  Coverage found;
  base::Random random(2026);
  for (const Bench& bench : benches) {
    const cap::Setup setup = shipped_setup(bench.cap, bench.mount);
    const Forecast told = forecast(plan, setup, *m, {.with_drivers = false, .with_words = false});
    for (int shop = 0; shop < n_shops / 4; ++shop) {
      const double truth = true_breaks(plan, setup, *m, random);
      found.held += truth >= told.low && truth <= told.high;
      found.below += truth<told.low, found.above += truth> told.high;
    }
  }
  return found;
}

// A short version: 40 shops, of which 28 to 40 are held but once in ten thousand.
TEST(Coverage, MostShopsLieWithinTheirInterval) {
  const Coverage found = coverage_of(40);
  EXPECT_GE(found.held, 28);
  EXPECT_LT(found.held, 41);
}

TEST(SlowCoverage, NineShopsInTenLieWithinTheirInterval) {
  const Coverage found = coverage_of(200);
  EXPECT_GE(found.held, 170) << found.below << " below, " << found.above << " above";
  EXPECT_LE(found.held, 190) << found.below << " below, " << found.above << " above";
}

}  // namespace
}  // namespace buckram::needle
