// Artwork that nobody draws and anybody may send: it must come to a plan, in bounded time. The
// limits are some thirty times what a release build takes, so that only a wrong order of growth
// breaks them.
#include "job/job.h"

#include <gtest/gtest.h>

#include <chrono>

namespace buckram::job {
namespace {

constexpr double kMostSeconds = 120;

std::string svg(int side, const std::string& inside) {
  const std::string n = std::to_string(side);
  return "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 " + n + " " + n + "'>" + inside +
         "</svg>";
}

Planned plan(const std::string& bytes) {
  const Resolved job =
      resolve(read_job("", "test", "", {"bench.mount=loose-panels"}), {BUCKRAM_ROOT "/data"});
  return plan_stitches(job, artwork::read_svg(bytes, "hostile"));
}

TEST(SlowHostile, TwoThousandSquaresOfOneColour) {
  std::string squares;
  for (int k = 0; k < 2000; ++k) {
    squares += "<rect x='" + std::to_string(k % 45 * 3) + "' y='" + std::to_string(k / 45 * 3) +
               "' width='2' height='2'/>";
  }
  const auto start = std::chrono::steady_clock::now();
  const Planned planned = plan(svg(135, squares));
  const std::chrono::duration<double> took = std::chrono::steady_clock::now() - start;
  EXPECT_LT(took.count(), kMostSeconds);
  ASSERT_TRUE(planned.plan);
  EXPECT_EQ(planned.order.steps.size(), planned.objects.size());
  EXPECT_GE(planned.objects.size(), 2000);
}

TEST(SlowHostile, ALatticeDrawnAsOnePath) {
  std::string path;
  for (int k = 0; k < 24; ++k) {
    const std::string at = std::to_string(4 * k + 1);
    path += "M0 " + at + "h96M" + at + " 0v96";
  }
  const auto start = std::chrono::steady_clock::now();
  const Planned planned =
      plan(svg(96, "<path fill='none' stroke='#000' stroke-width='0.8' d='" + path + "'/>"));
  const std::chrono::duration<double> took = std::chrono::steady_clock::now() - start;
  EXPECT_LT(took.count(), kMostSeconds);
  ASSERT_TRUE(planned.plan);
  EXPECT_EQ(planned.order.steps.size(), planned.objects.size());
  EXPECT_GT(planned.objects.size(), 300);
  EXPECT_LT(planned.order.trims, 50);
}

}  // namespace
}  // namespace buckram::job
