// The counter answer: what it says of a pair is what planning for that pair gives.
#include "job/job.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

namespace buckram::job {
namespace {

const DataFolder kData{BUCKRAM_ROOT "/data"};
const std::vector<std::string> kCaps{"six-panel-structured-mid", "six-panel-structured-low",
                                     "five-panel-foam-backed"};
const std::vector<std::string> kMounts{"rotary", "flat-cap-hoop"};

Job wordmark(const std::string& width_mm) {
  return read_job("", "", "",
                  {"artwork.file=" BUCKRAM_ROOT "/examples/tern-and-tide-wordmark.svg",
                   "artwork.width_mm=" + width_mm, "order.caps=48"});
}

std::vector<CounterAnswer> answers(const Job& job, const DataFolder& data = kData) {
  return counter_answers(job, data, read_artwork(job), kCaps, kMounts);
}

Job with_offer(Job job, const advise::Offer& offer) {
  job.cap = offer.cap;
  job.mount = offer.mount;
  job.width_mm.reset();
  job.height_mm = offer.height_mm;
  job.at_mm = offer.at;
  return job;
}

TEST(Counter, EveryPairIsAnsweredOnceWhatRunsFirst) {
  const auto all = answers(wordmark("95"));
  ASSERT_EQ(all.size(), kCaps.size() * kMounts.size());
  for (std::size_t i = 1; i < all.size(); ++i) {
    EXPECT_GE(all[i - 1].is_within, all[i].is_within);
  }
  for (const std::string& cap : kCaps) {
    for (const std::string& mount : kMounts) {
      EXPECT_EQ(std::count_if(all.begin(), all.end(),
                              [&](const CounterAnswer& a) {
                                return a.offer.cap == cap && a.offer.mount == mount;
                              }),
                1);
    }
  }
}

// The plan of one place is laid at another: only the order may differ, and that by little.
TEST(Counter, BreaksAndMinutesAreThoseOfThePlanForThePair) {
  const Job job = wordmark("95");
  const artwork::Drawing drawing = read_artwork(job);
  int n_compared = 0;
  for (const CounterAnswer& answer : answers(job)) {
    const Resolved resolved = resolve(with_offer(job, answer.offer), kData);
    const Planned planned = plan_stitches(resolved, drawing);
    ASSERT_TRUE(planned.plan.has_value()) << answer.offer.cap << ' ' << answer.offer.mount;
    const advise::Verdict verdict = plan_job(resolved, drawing, planned);
    const double breaks = 100 * verdict.forecast->breaks_per_cap;
    EXPECT_NEAR(*answer.offer.breaks_per_100, breaks, 0.05 * breaks + 1e-4)
        << answer.offer.cap << ' ' << answer.offer.mount;
    EXPECT_EQ(answer.answer, verdict.answer);
    EXPECT_NEAR(*answer.offer.time_s, advise::seconds_a_cap(verdict, resolved.times),
                0.05 * *answer.offer.time_s);
    ++n_compared;
  }
  EXPECT_EQ(n_compared, 6);
}

TEST(Counter, WhatDoesNotFitAsAskedIsAnsweredWithTheTallestThatDoes) {
  Job job = wordmark("95");
  job.width_mm.reset();
  job.height_mm = 300;
  const artwork::Drawing drawing = read_artwork(job);
  for (const CounterAnswer& answer : answers(job)) {
    const advise::Offer& offer = answer.offer;
    EXPECT_FALSE(offer.fits);
    EXPECT_DOUBLE_EQ(offer.height_mm, *offer.tallest_mm);
    const Resolved fits = resolve(with_offer(job, offer), kData);
    EXPECT_TRUE(plan_stitches(fits, drawing).refusal.empty());
    advise::Offer taller = offer;
    taller.height_mm *= 1.02;
    taller.at.y += 0.01 * offer.height_mm;  // its lower edge kept
    const Resolved more = resolve(with_offer(job, taller), kData);
    EXPECT_FALSE(plan_stitches(more, drawing).refusal.empty()) << offer.cap << ' ' << offer.mount;
  }
}

TEST(Counter, ChoosesAmongTheShopsMountsAndNeverThoseForCutPanelsUnasked) {
  const Job job = wordmark("95");
  const auto shipped = counter_mounts(job, kData);
  EXPECT_EQ(std::count(shipped.begin(), shipped.end(), "loose-panels"), 0);
  EXPECT_GE(shipped.size(), 3u);
  const std::string file = testing::TempDir() + "/counter-shop.toml";
  std::ofstream(file) << "[owns]\nmounts = [\"rotary\"]\n";
  EXPECT_EQ(counter_mounts(job, {kData.path, file}), std::vector<std::string>{"rotary"});
}

TEST(Counter, ListsOfCapsAreNamesOrAFile) {
  EXPECT_EQ(caps_from("a-cap, b-cap,,", kData), (std::vector<std::string>{"a-cap", "b-cap"}));
  EXPECT_EQ(caps_from("", kData), shipped_names(kData, "caps"));
  const std::string file = testing::TempDir() + "/caps.txt";
  std::ofstream(file) << "a-cap\r\n\nown.toml\n";
  EXPECT_EQ(caps_from("@" + file, kData),
            (std::vector<std::string>{
                "a-cap", (std::filesystem::path(testing::TempDir()) / "own.toml").string()}));
  EXPECT_THROW(caps_from(" , ", kData), base::Error);
  EXPECT_THROW(caps_from("@/no/such/file", kData), base::Error);
  const Job job = wordmark("95");
  EXPECT_THROW(counter_answers(job, kData, read_artwork(job), {"no-such-cap"}, kMounts),
               base::Error);
}

}  // namespace
}  // namespace buckram::job
