#include "sequence/inward.h"
#include "sequence/boxes.h"

#include <gtest/gtest.h>

namespace buckram::sequence {
namespace {

using digitise::Object;

std::vector<int> sequence_of(const std::vector<Object>& objects, const OrderOptions& options = {}) {
  std::vector<int> all;
  for (const Step& step : order_objects(objects, options).steps) all.push_back(step.object);
  return all;
}

int place_of(const std::vector<int>& sequence, int object) {
  return static_cast<int>(std::find(sequence.begin(), sequence.end(), object) - sequence.begin());
}

double cost_in(const AfterCosts& costs, int sewn, int next) {
  for (const AfterCost& cost : costs[static_cast<std::size_t>(next)]) {
    if (cost.sewn == sewn) return cost.mm;
  }
  return 0;
}

double flank(const std::vector<Object>& objects, int sewn, int next) {
  const CoverGrid grid(objects, 0.3);
  const auto costs = flank_costs(grid, static_cast<int>(objects.size()));
  return cost_in(costs, sewn, next);
}

TEST(Inward, WhatIsSewnOnTheOuterSideCostsAndOnTheInnerSideDoesNot) {
  for (const double side : {-1.0, 1.0}) {
    const std::vector<Object> row{object_of(1, 0, 0, box(side * 12 - 2, 20, 4, 4)),
                                  object_of(2, 0, 0, box(side * 20 - 2, 20, 4, 4))};
    EXPECT_GT(flank(row, 1, 0), 0.5);
    EXPECT_EQ(flank(row, 0, 1), 0);
  }
  const std::vector<Object> stack{object_of(1, 0, 0, box(-2, 20, 4, 4)),
                                  object_of(2, 0, 0, box(-2, 28, 4, 4))};
  EXPECT_GT(flank(stack, 1, 0), 0.5);
  EXPECT_EQ(flank(stack, 0, 1), 0);
}

TEST(Inward, NearerCostsMoreAndBeyondTheReachNothing) {
  double last = 1e9;
  for (const double gap : {1.0, 3.0, 6.0, 10.0, 30.0}) {
    const std::vector<Object> row{object_of(1, 0, 0, box(10, 20, 4, 4)),
                                  object_of(2, 0, 0, box(14 + gap, 20, 4, 4))};
    const double cost = flank(row, 1, 0);
    EXPECT_LT(cost, last);
    last = cost;
  }
  EXPECT_EQ(last, 0);
}

// Nine letters too far apart to be joined: from the centre to one side, then to the other.
TEST(Inward, AWordIsSewnFromItsMiddleToEitherSide) {
  std::vector<Object> word;
  for (int k = -4; k <= 4; ++k) word.push_back(object_of(k + 5, 0, 0, box(k * 9 - 2, 20, 4, 6)));
  const auto sequence = sequence_of(word);
  for (int k = 1; k < 4; ++k) {
    EXPECT_LT(place_of(sequence, 4 + k), place_of(sequence, 5 + k));
    EXPECT_LT(place_of(sequence, 4 - k), place_of(sequence, 3 - k));
  }
  // One side, then the other: the two sides change once.
  int n_changes = 0;
  for (std::size_t k = 2; k < sequence.size(); ++k) {
    n_changes +=
        sequence[k] != 4 && sequence[k - 1] != 4 && (sequence[k] > 4) != (sequence[k - 1] > 4);
  }
  EXPECT_EQ(n_changes, 1);
}

// Letters that can be joined are: one run through them all costs no trim.
TEST(Inward, NoTrimIsSpentOnIt) {
  std::vector<Object> word;
  for (int k = -4; k <= 4; ++k) {
    word.push_back(object_of(k + 5, 0, 0, box(k * 5 - 2, 20, 4, 6)));
    const geometry::Point left{k * 5 - 1.5, 23}, right{k * 5 + 1.5, 23};
    word.back().ways = {{left, right, 0}, {right, left, 1}};
  }
  const Order order = order_objects(word, {});
  EXPECT_EQ(order.trims, 0);
}

TEST(Inward, FromTheBillUpwards) {
  std::vector<Object> stack;
  for (int k = 0; k < 6; ++k) stack.push_back(object_of(k + 1, 0, 0, box(-5, 52 - k * 7, 10, 2)));
  EXPECT_EQ(sequence_of(stack), (std::vector<int>{5, 4, 3, 2, 1, 0}));
}

TEST(Inward, ABorderComesAfterWhatItEncloses) {
  geometry::Polygons ring = box(-20, 18, 40, 40);
  ring[0].holes = {{{-18, 20}, {-18, 56}, {18, 56}, {18, 20}}};
  std::vector<Object> crest{object_of(1, 0, 0, ring)};
  crest[0].ways = {{{-19, 38}, {-19, 38}, 0}, {{19, 38}, {19, 38}, 0}};
  for (int k = 0; k < 3; ++k) {
    crest.push_back(object_of(k + 2, 0, 0, box(-14, 25 + k * 8, 28, 2)));
  }
  EXPECT_EQ(sequence_of(crest).back(), 0);
}

TEST(Habits, GroundsBeforeDetailsBordersLastAndNothingLowAfterWhatIsHigher) {
  const auto cost = [](const std::vector<Object>& objects, int sewn, int next) {
    return cost_in(habit_costs(objects), sewn, next);
  };
  Object ground = object_of(1, 0, 0, box(-15, 20, 30, 20));
  ground.shape = digitise::Fill{ground.outline, 0};
  const std::vector<Object> field{ground, object_of(2, 0, 0, box(-2, 43, 4, 4)),
                                  object_of(3, 0, 0, box(-2, 70, 4, 4))};
  EXPECT_GT(cost(field, 1, 0), 0);
  EXPECT_EQ(cost(field, 0, 1), 0);
  EXPECT_GT(cost(field, 1, 0), cost(field, 2, 0)) << "beyond reach only the height counts";

  geometry::Polygons ring = box(-20, 18, 40, 40);
  ring[0].holes = {{{-18, 20}, {-18, 56}, {18, 56}, {18, 20}}};
  const std::vector<Object> crest{object_of(1, 0, 0, ring), object_of(2, 0, 0, box(-3, 30, 6, 6))};
  EXPECT_GT(cost(crest, 0, 1), 0);
  EXPECT_EQ(cost(crest, 1, 0), 0);

  const std::vector<Object> stack{object_of(1, 0, 0, box(30, 20, 4, 4)),
                                  object_of(2, 0, 0, box(-30, 40, 4, 4))};
  EXPECT_GT(cost(stack, 1, 0), 0);
  EXPECT_EQ(cost(stack, 0, 1), 0);
}

TEST(Inward, OfTwoThreadsTheLowerComesFirst) {
  std::vector<Object> objects;
  for (int k = 0; k < 3; ++k) {
    objects.push_back(object_of(2 * k + 1, 0, 0, box(k * 12 - 15, 50, 4, 4)));
    objects.push_back(object_of(2 * k + 2, 1, 0, box(k * 12 - 15, 20, 4, 4)));
  }
  const auto sequence = sequence_of(objects);
  EXPECT_EQ(objects[static_cast<std::size_t>(sequence.front())].thread, 1);
}

TEST(Inward, ACostHandedInTakesThePlaceOfTheDefault) {
  std::vector<Object> stack;
  for (int k = 0; k < 6; ++k) stack.push_back(object_of(k + 1, 0, 0, box(-5, 52 - k * 7, 10, 2)));
  OrderOptions options;
  options.inward = [](int sewn, int next) { return sewn > next ? 5.0 : 0.0; };
  EXPECT_EQ(sequence_of(stack, options), (std::vector<int>{0, 1, 2, 3, 4, 5}));
}

}  // namespace
}  // namespace buckram::sequence
