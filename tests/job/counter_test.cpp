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

Job with(const Job& job, const std::vector<std::string>& sets) {
  return with_settings(job, "test", sets);
}

const CounterAnswer& answer_for(const std::vector<CounterAnswer>& all, const std::string& cap,
                                const std::string& mount) {
  return *std::find_if(all.begin(), all.end(), [&](const CounterAnswer& a) {
    return a.offer.cap == cap && a.offer.mount == mount;
  });
}

// Block speeds are chosen for each cap, not taken over from the one that was planned.
TEST(Counter, TheOrderOfTheListChangesNoAnswerAlsoWithBlockSpeeds) {
  const Job job = with(wordmark("95"), {"bench.slowest_spm=500", "bench.speed_spm=950"});
  const artwork::Drawing drawing = read_artwork(job);
  std::vector<std::string> turned(kCaps.rbegin(), kCaps.rend());
  const auto all = counter_answers(job, kData, drawing, kCaps, {"rotary"});
  const auto again = counter_answers(job, kData, drawing, turned, {"rotary"});
  for (const std::string& cap : kCaps) {
    const advise::Offer& one = answer_for(all, cap, "rotary").offer;
    const advise::Offer& other = answer_for(again, cap, "rotary").offer;
    EXPECT_NEAR(*one.breaks_per_100, *other.breaks_per_100, 1e-6 * *one.breaks_per_100) << cap;
    EXPECT_NEAR(*one.time_s, *other.time_s, 1e-6 * *one.time_s) << cap;
  }
}

TEST(Counter, MeasuredGapsCountForTheirOwnCapAndMountOnly) {
  const Job plain = wordmark("95");
  const Job measured = with(plain, {"gap=[{x_mm=0,y_mm=18,gap_mm=6},{x_mm=0,y_mm=28,gap_mm=5}]"});
  const auto all = answers(plain), again = answers(measured);
  for (const CounterAnswer& answer : all) {
    const std::string &cap = answer.offer.cap, &mount = answer.offer.mount;
    const double breaks = *answer_for(again, cap, mount).offer.breaks_per_100;
    if (cap == plain.cap && mount == plain.mount) {
      EXPECT_GT(breaks, 1.1 * *answer.offer.breaks_per_100);
    } else {
      EXPECT_EQ(breaks, *answer.offer.breaks_per_100) << cap << ' ' << mount;
    }
  }
}

// Seconds and breaks of the set-up that would be sewn on: what page and sheet promise for it.
TEST(Counter, AmongThoseThatRunWhatCostsLeastWithTheChangesMadeComesFirst) {
  const Job job = with(wordmark("95"),
                       {"bench.speed_spm=950", "bench.needle=80:ball", "limit.breaks_per_100=0.5"});
  const artwork::Drawing drawing = read_artwork(job);
  double last = 0;
  int n_reworked = 0, n_compared = 0;
  for (const CounterAnswer& answer : answers(job)) {
    if (!answer.is_within || !answer.offer.fits) continue;
    const Resolved resolved = resolve(with_offer(job, answer.offer), kData);
    const advise::Verdict verdict = plan_job(resolved, drawing, plan_stitches(resolved, drawing));
    const bool is_changed = verdict.answer == advise::Answer::rework;
    const double breaks = is_changed ? verdict.best->mean / 100 : verdict.forecast->breaks_per_cap;
    const double cost = advise::seconds_a_cap(verdict, resolved.times) -
                        breaks * resolved.times.needle_break_s +
                        breaks * resolved.times.break_cost_s;
    EXPECT_GE(cost, 0.98 * last) << answer.offer.cap << ' ' << answer.offer.mount;
    last = cost;
    n_reworked += is_changed;
    ++n_compared;
  }
  EXPECT_GE(n_compared, 3);
  EXPECT_GE(n_reworked, 1);
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
