// Easing where many parts meet: the laws that its header names, on plans of columns that come
// together at one point. That crowds() finds the discs of the definition is tested with the limits.
#include "stitch/crowds.h"

#include "base/base.h"
#include "plans.h"

#include <gtest/gtest.h>

#include <cmath>

namespace buckram::stitch::tests {
namespace {

using geometry::Point;

// Columns like the spokes of a wheel, each with five rungs whose inner ends lie near the middle.
Plan wheel(int n_spokes, std::uint64_t seed) {
  base::Random random(seed);
  std::vector<PlanObject> objects;
  for (int k = 1; k <= n_spokes; ++k) objects.push_back({k, Kind::column, 0, "spoke"});
  Builder b(two_threads(), objects);
  for (int k = 0; k < n_spokes; ++k) {
    const double turn = 2 * base::kPi * (k + random.uniform(0, 0.2)) / n_spokes;
    const Point out{std::cos(turn), std::sin(turn)}, across = geometry::left_of(out);
    const double inner = random.uniform(0.1, 0.35), outer = random.uniform(2, 4);
    b.begin(k + 1, Layer::top);
    for (int r = 0; r < 5; ++r) {
      const Point aside = across * ((r - 2) * 0.26);
      b.sew(Point{0, 40} + aside + out * outer);
      b.sew(Point{0, 40} + aside + out * inner);
    }
    b.sew(Point{0, 40} + across * 0.7 + out * outer);
    b.trim();
  }
  return b.finish();
}

int fullest(const Plan& plan) {
  int most = 0;
  for (const Crowd& each : crowds(plan, 0, 100'000)) most = std::max(most, each.most);
  return most;
}

void expect_laws(const Plan& before, const Plan& after, const Limits& limits) {
  ASSERT_EQ(before.size(), after.size());
  EXPECT_NO_THROW(check_form(after));
  for (const Block& block : after.blocks) {
    for (int i = block.first; i < block.first + block.count; ++i) {
      const double moved = geometry::distance(before.at(i), after.at(i));
      EXPECT_LE(moved, 0.602);
      const bool is_end = i == block.first || i + 1 == block.first + block.count;
      if (is_end || block.layer != Layer::top) {
        EXPECT_EQ(moved, 0) << i;
      }
      if (moved == 0) continue;
      for (const int other : {i - 1, i + 1}) {
        const double now = geometry::distance(after.at(i), after.at(other));
        const double then = geometry::distance(before.at(i), before.at(other));
        EXPECT_GE(now, std::min(limits.shortest_mm, then) - 0.002) << i;
        EXPECT_LE(now, limits.longest_mm) << i;
      }
      for (int j = block.first; j < block.first + block.count; ++j) {
        if (j == i) continue;
        EXPECT_GE(geometry::distance(after.at(i), after.at(j)), 0.248) << i;
      }
    }
  }
}

TEST(Crowds, StrokesThatMeetAreStaggered) {
  const Limits limits;
  int n_eased = 0;
  for (std::uint64_t seed = 1; seed <= 40; ++seed) {
    SCOPED_TRACE(seed);
    const Plan before = wheel(7, seed);
    Plan after = before;
    ease_crowds(after, limits);
    expect_laws(before, after, limits);
    EXPECT_LE(fullest(after), std::max(fullest(before), limits.most_in_disc));
    if (fullest(before) <= limits.most_in_disc) continue;
    EXPECT_LE(fullest(after), limits.most_in_disc) << "from " << fullest(before);
    ++n_eased;
  }
  EXPECT_GT(n_eased, 20);
}

TEST(Crowds, WhatIsNotCrowdedStaysAsItIs) {
  for (const Plan& before : {sound_plan(), wheel(3, 1)}) {
    Plan after = before;
    ease_crowds(after, {});
    EXPECT_EQ(after.x, before.x);
    EXPECT_EQ(after.y, before.y);
  }
}

// Holes of ten thousand stitches in one place cannot be helped; that is told in bounded time.
TEST(Crowds, AHopelessPlaceEnds) {
  Builder b(two_threads(), {{1, Kind::column, 0, "mast"}});
  b.begin(1, Layer::top);
  for (int k = 0; k < 10'000; ++k) b.sew({k % 2 == 0 ? 0.0 : 0.3, 20});
  Plan plan = b.finish();
  const Plan before = plan;
  ease_crowds(plan, {});
  EXPECT_EQ(plan.x, before.x);
}

}  // namespace
}  // namespace buckram::stitch::tests
