#include "base/parallel.h"

#include "base/error.h"
#include "base/progress.h"

#include <gtest/gtest.h>

#include <numeric>
#include <vector>

namespace buckram::base {
namespace {

TEST(ParallelFor, VisitsEveryIndexOnce) {
  std::vector<int> visits(10'000, 0);
  parallel_for(visits.size(), [&](std::size_t i) { ++visits[i]; }, 7);
  EXPECT_EQ(std::accumulate(visits.begin(), visits.end(), 0), 10'000);
  for (const int n : visits) ASSERT_EQ(n, 1);
}

TEST(ParallelFor, PassesAnErrorOn) {
  EXPECT_THROW(parallel_for(100,
                            [](std::size_t i) {
                              if (i == 57) throw Error{ErrorCode::bad_job, "57", "", ""};
                            }),
               Error);
}

TEST(Watch, StopsWhenAsked) {
  StopFlag stop{false};
  double seen = 0;
  const Watch watch{[&](std::string_view, double share) { seen = share; }, &stop};
  watch.at("planning", 0.25);
  EXPECT_EQ(seen, 0.25);
  stop = true;
  EXPECT_THROW(watch.at("planning", 0.5), Error);
}

}  // namespace
}  // namespace buckram::base
