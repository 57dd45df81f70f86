// Minutes a cap, against sums by hand.
#include "advise/minutes.h"

#include "needle/synthetic.h"

#include <gtest/gtest.h>

namespace buckram::advise {
namespace {

// 650 stitches in one block, two trims.
stitch::Plan plan_of_650() {
  stitch::Plan plan;
  plan.threads.push_back({.name = "Chalk", .rgb = "#ffffff"});
  for (int k = 0; k < 650; ++k) {
    plan.x.push_back(k % 2), plan.y.push_back(20 + 0.01 * k);
    plan.op.push_back(stitch::Op::sew);
  }
  for (int k = 0; k < 2; ++k) {
    plan.x.push_back(plan.x.back()), plan.y.push_back(plan.y.back());
    plan.op.push_back(stitch::Op::trim);
  }
  plan.objects.push_back({.id = 1, .kind = stitch::Kind::column});
  plan.blocks.push_back({.object = 1, .layer = stitch::Layer::top, .first = 0, .count = 652});
  return plan;
}

// By hand: 650 stitches at 650 a minute 60 s, two trims of 6 s 12 s: 72 s on one head, 12 on six.
// Bobbin 3 m of 100 at 45 s: 1.35 s. Thread breaks 0.065 x 0.3 x 90 s: 1.755 s. Needle breaks
// 0.02 x 300 s: 6 s.
TEST(Minutes, AddUpToTheSumByHand) {
  cap::Setup setup = needle::testing::shipped_setup("six-panel-structured-mid", "rotary");
  for (const int heads : {1, 6}) {
    setup.bench.heads = heads;
    const Minutes m = minutes_of(plan_of_650(), setup, {}, 3, 0.02);
    EXPECT_NEAR(m.sewing_s, 72.0 / heads, 1e-9);
    EXPECT_NEAR(m.bobbins_s, 1.35, 1e-9);
    EXPECT_NEAR(m.thread_breaks_s, 1.755, 1e-9);
    EXPECT_NEAR(m.needle_breaks_s, 6, 1e-9);
    EXPECT_NEAR(m.total_s(), 72.0 / heads + 1.35 + 1.755 + 6 + setup.mount.mount_s, 1e-9);
  }
}

TEST(ShopTimes, ShippedOnesReadAndBadOnesAreRefused) {
  const std::string shipped = needle::testing::data_file("times.toml");
  EXPECT_EQ(read_times(shipped, "times.toml").bobbin_m, 100);
  const auto refuses = [&](const std::string& from, const std::string& to) {
    std::string text = shipped;
    text.replace(text.find(from), from.size(), to);
    try {
      read_times(text, "times.toml");
    } catch (const base::Error& error) {
      return error.code == base::ErrorCode::bad_data;
    }
    return false;
  };
  EXPECT_TRUE(refuses("trim_s = 6", "trim_s = -1"));
  EXPECT_TRUE(refuses("bobbin_m = 100", "bobbin_m = 0"));
  EXPECT_TRUE(refuses("stop_s = 20", "stops_s = 20"));
}

}  // namespace
}  // namespace buckram::advise
