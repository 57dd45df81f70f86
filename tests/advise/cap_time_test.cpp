// The time a cap takes, against sums by hand.
#include "advise/cap_time.h"

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

// By hand: 650 stitches at 650 a minute 60 s, two trims of 6 s 12 s: 72 s a load. Bobbin 3 m of 100
// at 45 s: 1.35 s. Thread breaks 0.065 x 0.3 x 90 s: 1.755 s. Needle breaks 0.02 x 300 s: 6 s.
TEST(CapTime, AddsUpToTheSumByHand) {
  struct Row {
    int heads, caps;
    double sewing_s;
  };
  cap::Setup setup = needle::testing::shipped_setup("six-panel-structured-mid", "rotary");
  for (const Row row : {Row{1, 1, 72}, Row{6, 6, 12}, Row{6, 1, 72}, Row{6, 7, 72.0 * 2 / 7}}) {
    setup.bench.heads = row.heads;
    const CapTime time = cap_time(plan_of_650(), setup, {}, row.caps, 3, 0.02);
    EXPECT_NEAR(time.sewing_s, row.sewing_s, 1e-9)
        << row.heads << " heads, " << row.caps << " caps";
    EXPECT_NEAR(time.bobbins_s, 1.35, 1e-9);
    EXPECT_NEAR(time.thread_breaks_s, 1.755, 1e-9);
    EXPECT_NEAR(time.needle_breaks_s, 6, 1e-9);
    EXPECT_NEAR(time.total_s(), row.sewing_s + 1.35 + 1.755 + 6 + setup.mount.mount_s, 1e-9);
  }
}

TEST(CapTime, MoreHeadsNeverTakeLonger) {
  for (int caps = 1; caps <= 60; ++caps) {
    EXPECT_EQ(sewing_share(1, caps), 1);
    for (int heads = 1; heads < 20; ++heads)
      EXPECT_LE(sewing_share(heads + 1, caps), sewing_share(heads, caps));
  }
}

TEST(ShopTimes, ShippedOnesReadAndBadOnesAreRefused) {
  const std::string shipped = needle::testing::data_file("times.toml");
  EXPECT_EQ(read_times(shipped, "times.toml"), ShopTimes{});  // the defaults are the file's
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
