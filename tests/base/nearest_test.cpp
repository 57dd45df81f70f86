#include "base/nearest.h"

#include <gtest/gtest.h>

namespace buckram::base {
namespace {

TEST(NearestName, FindsTheSlipOfAFinger) {
  const std::vector<std::string> keys{"raise_mm", "packing_mm", "clips", "tautness"};
  EXPECT_EQ(nearest_name("rise_mm", keys), "raise_mm");
  EXPECT_EQ(nearest_name("packing", keys), "packing_mm");
  EXPECT_EQ(nearest_name("clpis", keys), "clips");  // neighbours swapped count once
}

TEST(NearestName, SaysNothingWhenNothingIsNear) {
  EXPECT_EQ(nearest_name("q", std::vector<std::string>{"tautness"}), "");
  EXPECT_EQ(nearest_name("anything", std::vector<std::string>{}), "");
}

}  // namespace
}  // namespace buckram::base
