// The trade's facts (common practice, no source) must come out of the mechanics: each pair is
// computed, sign and factor. The plan is a logo of blocks (see synthetic.h), quick to make; the
// whole table on the examples' plans is in tests/job/practice_test.cpp.
#include "needle/synthetic.h"

#include <gtest/gtest.h>

#include <functional>

namespace buckram::needle {
namespace {

using namespace testing;

struct Practice : ::testing::Test {
  std::shared_ptr<const Mechanics> mechanics = shipped_mechanics();
  stitch::Plan plan = block_logo(16, 61);
  cap::Setup plain = shipped_setup("six-panel-structured-mid", "rotary");
  cap::Setup raised = shipped_setup("six-panel-structured-mid", "rotary-raised");

  double breaks(const cap::Setup& setup) const {
    return breaks_per_100(plan, setup, *mechanics, 64);
  }
  double ratio(const cap::Setup& base, const std::function<void(cap::Setup&)>& change) const {
    cap::Setup changed = base;
    change(changed);
    return breaks(changed) / breaks(base);
  }
  // Breaks per stitch in a strip at that height.
  double strip(const cap::Setup& setup, double y) const {
    return breaks_per_100(scattered({-25, y - 1.5, 25, y + 1.5}, 500, 3, 2), setup, *mechanics, 64);
  }
};

void expect_within(double factor, double low, double high) {
  EXPECT_GE(factor, low);
  EXPECT_LE(factor, high);
}

TEST_F(Practice, T1ClothHeldFlatSewsMostEasily) {
  EXPECT_GE(breaks(plain) / breaks(shipped_setup("six-panel-structured-mid", "flat-hoop")), 3);
}

TEST_F(Practice, T2AOnePieceFrontSewsMoreEasily) {
  for (const cap::Setup& setup : {plain, raised}) {
    expect_within(1 / ratio(setup, [](cap::Setup& s) { s.cap.has_seam = false; }), 1.1, 30);
  }
}

TEST_F(Practice, T3AcutePointsSuitHardFronts) {
  for (const cap::Setup& setup : {plain, raised}) {
    expect_within(ratio(setup, [](cap::Setup& s) { s.bench.needle = needle_named("80:ball"); }),
                  1.1, 30);
  }
}

TEST_F(Practice, T6LooseMountingSpoilsAnyDesign) {
  for (const cap::Setup& setup : {plain, raised}) {
    expect_within(ratio(setup, [](cap::Setup& s) { s.bench.tautness = 0.3; }), 1.1, 30);
  }
}

double mean_gap(const stitch::Plan& plan, const cap::Setup& setup, const Mechanics& m) {
  return forecast(plan, setup, m,
                  {.draws = 8, .with_drivers = false, .with_interval = false, .with_words = false})
      .gap_mean_mm;
}

TEST_F(Practice, T7WhateverClosesTheSpaceHelps) {
  const std::function<void(cap::Setup&)> changes[] = {
      [](cap::Setup& s) { s.bench.raise_mm += 1; }, [](cap::Setup& s) { s.bench.packing_mm = 1; },
      [](cap::Setup& s) { s.bench.has_clips = true; },
      [](cap::Setup& s) { s.bench.is_pressed = true; }};
  const double before = mean_gap(plan, plain, *mechanics);
  double least = before;
  cap::Setup all = plain;
  for (const auto& change : changes) {
    expect_within(1 / ratio(plain, change), 1.1, 30);
    cap::Setup one = plain;
    change(one);
    least = std::min(least, mean_gap(plan, one, *mechanics));
    EXPECT_LT(mean_gap(plan, one, *mechanics), before);
    change(all);
  }
  EXPECT_LT(mean_gap(plan, all, *mechanics), before / 2);
  EXPECT_LT(mean_gap(plan, all, *mechanics), least);
  expect_within(1 / ratio(plain, [](cap::Setup& s) { s.bench.foot_mm = 2.5; }), 1.1, 30);
}

TEST_F(Practice, T8HighCrownsStandClear) {
  for (const char* mount : {"rotary", "rotary-raised"}) {
    const double low = mean_gap(plan, shipped_setup("six-panel-structured-low", mount), *mechanics);
    const double high =
        mean_gap(plan, shipped_setup("six-panel-structured-high", mount), *mechanics);
    EXPECT_GT(high, low * 1.1);
  }
}

TEST_F(Practice, T9TooCloseToTheBill) {
  expect_within(strip(plain, 6) / strip(plain, 12.7), 5, 50);
  expect_within(strip(raised, 6) / strip(raised, 12.7), 5, 30);
}

TEST_F(Practice, T10TooTall) {
  stitch::Plan tall = plan, middling = plan;
  for (double& y : tall.y) y = 12.7 + (y - 16) * 61 / 45;
  for (double& y : middling.y) y = 12.7 + (y - 16) * 50 / 45;
  for (const cap::Setup& setup : {plain, raised}) {
    const double factor = breaks_per_100(tall, setup, *mechanics, 64) /
                          breaks_per_100(middling, setup, *mechanics, 64);
    expect_within(factor, 1.5, setup.mount.raise_mm > 0 ? 30 : 5);
  }
}

TEST_F(Practice, T11HoldingTheFrontFlatAllowsMoreHeight) {
  plan = block_logo(12.7, 73.7);
  const double rotary = breaks(plain);
  const double hoop = breaks(shipped_setup("six-panel-structured-mid", "flat-cap-hoop"));
  const double loose = breaks(shipped_setup("six-panel-structured-mid", "loose-panels"));
  EXPECT_GT(rotary, hoop * 1.1);
  EXPECT_GT(hoop, loose * 1.1);
  EXPECT_GE(rotary / loose, 3);
}

// Equal area and top thread, as many small squares with a lock at each end or as two large ones.
TEST_F(Practice, T12BusyArtworkCostsMore) {
  const auto squares = [](int across, double side) {
    Sewn s;
    for (int k = 0; k < across * across; ++k) {
      const double x = -24 + (k % across) * 48.0 / across, y = 18 + (k / across) * 40.0 / across;
      s.jump(x, y);
      s.lock(x, y);
      s.fill({x, y, x + side, y + side}, 0.4, 3.7);
      s.lock(s.plan.x.back(), s.plan.y.back());
    }
    return s.plan;
  };
  for (const cap::Setup& setup : {plain, raised}) {
    const double busy = breaks_per_100(squares(8, 3.0), setup, *mechanics, 64);
    const double calm = breaks_per_100(squares(2, 12.0), setup, *mechanics, 64);
    expect_within(busy / calm, 1.1, 30);
  }
}

TEST_F(Practice, T13StiffCrownsCostMore) {
  for (const cap::Setup& setup : {plain, raised}) {
    expect_within(ratio(setup, [](cap::Setup& s) { s.cap.stiffness = 1.5; }), 1.1, 30);
    expect_within(1 / ratio(setup, [](cap::Setup& s) { s.cap.stiffness = 0.7; }), 1.1, 30);
  }
}

TEST_F(Practice, T14ModerateSpeed) {
  expect_within(ratio(plain, [](cap::Setup& s) { s.bench.speed_spm = 900; }), 1.1, 30);
  expect_within(ratio(raised, [](cap::Setup& s) { s.bench.speed_spm = 900; }), 1.1, 30);
}

TEST_F(Practice, NoStructuredSixPanelCapIsFarFromAnother) {
  plan = block_logo(12.7, 52.7);
  std::vector<double> each;
  for (const char* cap :
       {"six-panel-structured-low", "six-panel-structured-mid", "six-panel-structured-high"}) {
    each.push_back(breaks(shipped_setup(cap, "rotary-raised")));
  }
  std::sort(each.begin(), each.end());
  EXPECT_LT(each.back() / each.front(), 5);
}

TEST_F(Practice, ATenthOfAMillimetreChangesLittle) {
  const auto moved = [&](double dx, double dy) {
    stitch::Plan p = plan;
    for (double& x : p.x) x += dx;
    for (double& y : p.y) y += dy;
    return breaks_per_100(p, plain, *mechanics, 64);
  };
  const double here = breaks(plain);
  EXPECT_NEAR(moved(0.1, 0) / here, 1, 0.1);
  EXPECT_NEAR(moved(0, 0.1) / here, 1, 0.1);
}

}  // namespace
}  // namespace buckram::needle
