#include "base/parallel.h"

#include "base/error.h"
#include "base/progress.h"

#include <gtest/gtest.h>

#include <atomic>
#include <numeric>
#include <thread>
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

// A loop within a loop either visits all its indices or throws: what its caller goes on with is
// whole, though another call of the outer loop has failed meanwhile.
TEST(ParallelFor, ALoopWithinOneThatFailsIsStillWhole) {
  for (int round = 0; round < 20; ++round) {
    std::atomic<int> n_short{0};
    EXPECT_THROW(parallel_for(8,
                              [&](std::size_t i) {
                                if (i == 3) throw Error{ErrorCode::cancelled, "3", "", ""};
                                std::atomic<int> n{0};
                                parallel_for(2'000, [&](std::size_t) {
                                  std::this_thread::yield();
                                  ++n;
                                });
                                n_short += n != 2'000;
                              }),
                 Error);
    ASSERT_EQ(n_short, 0) << round;
  }
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
