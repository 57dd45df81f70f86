// What fits instead, and how much of the artwork is covered.
#include "job/offers.h"

#include "job/coverage.h"
#include "job/judging.h"

#include <gtest/gtest.h>

#include <fstream>
#include <set>
#include <string>

namespace buckram::job {
namespace {

const DataFolder kData{BUCKRAM_ROOT "/data"};

// A narrow bar, 4 by 100 user units.
artwork::Drawing bar() {
  artwork::Drawing drawing;
  artwork::Shape shape;
  shape.area = {{{{0, 0}, {4, 0}, {4, 100}, {0, 100}}, {}}};
  shape.colour = {20, 40, 90};
  drawing.shapes = {shape};
  drawing.painted = {0, 0, 4, 100};
  return drawing;
}

Job tall(double height_mm) {
  Job job;
  job.height_mm = height_mm;
  job.breaks_per_100 = 0.01;  // a bar is sewn so easily that any other limit is kept
  return job;
}

TEST(Offers, OnlyMountsThatTheShopOwns) {
  const std::string file = testing::TempDir() + "/offers-shop.toml";
  std::ofstream(file) << "[owns]\nmounts = [\"rotary\"]\n";
  const auto mounts = [&](const DataFolder& data) {
    std::set<std::string> all;
    for (const advise::Offer& each : offers(resolve(tall(72), data), bar())) all.insert(each.mount);
    return all;
  };
  EXPECT_EQ(mounts({kData.path, file}), std::set<std::string>{"rotary"});
  EXPECT_GT(mounts(kData).size(), 1U) << "there was something to leave out";
}

TEST(Offers, NoneWhereItFitsAsAsked) {
  EXPECT_TRUE(offers(resolve(tall(30), kData), bar()).empty());
}

TEST(SlowOffers, EachCanBePlannedAsItSaysAndIsForecast) {
  // Too tall for the rotary frame; another mount for finished caps takes it.
  const Resolved asked = resolve(tall(72), kData);
  const std::vector<advise::Offer> found = offers(asked, bar());
  ASSERT_FALSE(found.empty());
  EXPECT_LE(found.size(), 6U);
  int n_with_set = 0, n_elsewhere = 0;
  for (const advise::Offer& offer : found) {
    SCOPED_TRACE(offer.why);
    Job job = asked.job;
    job.cap = offer.cap;
    job.mount = offer.mount;
    job.height_mm = offer.height_mm;
    job.at_mm = offer.at;
    const Planned planned = plan_stitches(resolve(job, kData), bar());
    ASSERT_TRUE(planned.plan.has_value()) << planned.refusal;
    ASSERT_TRUE(offer.breaks_per_100.has_value());
    const advise::Verdict verdict = check_plan(resolve(job, kData), *planned.plan);
    EXPECT_DOUBLE_EQ(*offer.breaks_per_100, 100 * verdict.forecast->breaks_per_cap);
    const advise::Verdict brief = judge_in_brief(resolve(job, kData), *planned.plan, {});
    EXPECT_DOUBLE_EQ(*offer.time_s, advise::seconds_a_cap(brief, asked.times));
    EXPECT_EQ(offer.set.empty(), verdict.answer == advise::Answer::run);
    n_elsewhere += offer.mount != asked.job.mount || offer.cap != asked.job.cap;
    if (offer.set.empty()) continue;
    ++n_with_set;
    std::vector<std::string> sets = offer.set;
    sets.push_back("cap.name=" + offer.cap);
    sets.push_back("bench.mount=" + offer.mount);
    const Resolved changed = resolve(read_job("", "", "", sets), kData);
    stitch::Plan plan = *planned.plan;
    set_pace(changed, plan);
    EXPECT_LT(check_plan(changed, plan).forecast->breaks_per_cap, verdict.forecast->breaks_per_cap);
  }
  EXPECT_GT(n_with_set, 0);
  EXPECT_GT(n_elsewhere, 0);
}

// Given up: size in shares of what was asked, moves at half that, another mount a quarter, another
// cap a half.
TEST(SlowOffers, WithinTheLimitThenWithinPracticeThenTheNearestComesFirst) {
  const std::vector<advise::Offer> found = offers(resolve(tall(80), kData), bar());
  const geometry::Point asked{0, 16 + 40};
  double before = 0;
  bool was_over = false, was_unusual = false, has_smaller_here = false;
  for (const advise::Offer& offer : found) {
    SCOPED_TRACE(offer.why);
    const double distance =
        1 - offer.height_mm / 80 + 0.5 * geometry::distance(offer.at, asked) / 80 +
        (offer.mount == Job{}.mount ? 0 : 0.25) + (offer.cap == Job{}.cap ? 0 : 0.5);
    const bool is_over = offer.why.find("over the limit") != std::string::npos;
    EXPECT_GE(is_over, was_over) << "within the limit comes first";
    const bool is_unusual = offer.why.find("the usual ") != std::string::npos;
    if (is_over == was_over) {
      EXPECT_GE(is_unusual, was_unusual) << "what keeps to common practice comes first";
      if (is_unusual == was_unusual) {
        EXPECT_GE(distance, before - 1e-9);
      }
    }
    was_unusual = is_unusual;
    before = distance;
    was_over = is_over;
    has_smaller_here |=
        offer.mount == Job{}.mount && offer.cap == Job{}.cap && offer.height_mm < 80;
    const bool is_tall = offer.mount.starts_with("rotary") && offer.height_mm > 50.85;
    EXPECT_EQ(offer.why.find("taller than the usual") != std::string::npos, is_tall);
    const bool is_low = offer.at.y - offer.height_mm / 2 < 12.65;
    EXPECT_EQ(offer.why.find("nearer the bill seam") != std::string::npos, is_low);
    EXPECT_NE(offer.mount, "loose-panels") << "the cap is sewn together";
    EXPECT_NE(offer.mount, "flat-hoop");
    EXPECT_EQ(offer.why.find("=true"), std::string::npos);
  }
  EXPECT_TRUE(has_smaller_here);
  EXPECT_FALSE(found.front().why.find("over the limit") != std::string::npos)
      << "some smaller size keeps within it";
  EXPECT_EQ(found.front().why.find("the usual "), std::string::npos) << found.front().why;
}

// A square of 10 by 10 mm of which the object takes 8 and the thread 6, and a row astray.
TEST(Coverage, OfRowsLaidByHandIsTheirArea) {
  artwork::Regions regions;
  artwork::Region region;
  region.visible = region.sewn = {{{{0, 20}, {10, 20}, {10, 30}, {0, 30}}, {}}};
  regions.regions = {region};
  digitise::Object object;
  object.id = 1;
  object.outline = {{{{0, 20}, {8, 20}, {8, 30}, {0, 30}}, {}}};
  stitch::Builder builder({{"Chalk", "#efece2", 27, 1}}, {{1, stitch::Kind::fill, 0, ""}});
  builder.begin(1, stitch::Layer::top);
  const double half = 0.2;  // of the thread's width
  for (int row = 0; row < 25; ++row) {
    const double y = 20 + half + 0.4 * row;
    builder.sew({row % 2 ? 6 - half : half, y});
    builder.sew({row % 2 ? half : 6 - half, y});
  }
  builder.trim();
  builder.move({12, 22});
  builder.sew({12, 22});
  builder.sew({12, 27});
  const advise::Coverage found = coverage(builder.finish(), regions, {object}, 0.4);
  EXPECT_NEAR(found.left_out, 20, 0.1);
  EXPECT_NEAR(found.missed, 20, 0.6);                                 // 2 by 10 mm, round ends
  EXPECT_NEAR(found.spilled, 5 * 0.4 + base::kPi * 0.2 * 0.2, 0.15);  // of 100 mm2
}

}  // namespace
}  // namespace buckram::job
