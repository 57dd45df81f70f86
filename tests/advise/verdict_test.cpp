#include "advise/levers.h"
#include "advise/verdict.h"
#include "advise/words.h"

#include "advise/block.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <string>
#include <nlohmann/json.hpp>

#include <cmath>
#include <fstream>
#include <limits>
#include <sstream>

namespace buckram::advise {
namespace {

using testing::block;
using Json = nlohmann::json;

std::string data(const std::string& name) {
  std::ifstream in(std::string(BUCKRAM_ROOT "/data/") + name);
  std::stringstream all;
  all << in.rdbuf();
  return all.str();
}

Verdict with_breaks(double mean, double low, double high, Answer answer) {
  Verdict verdict;
  verdict.answer = answer;
  verdict.forecast = needle::Forecast{};
  verdict.forecast->breaks_per_cap = mean / 100;
  verdict.forecast->low = low / 100;
  verdict.forecast->high = high / 100;
  return verdict;
}

// The look's own wording, word for word.
TEST(Sentence, SaysItAsTheLookDoes) {
  EXPECT_EQ(sentence_of(with_breaks(0.4, 0.1, 1, Answer::run)),
            "Ready to run: about 0.4 needle breaks per 100 caps, likely 0.1 to 1.");
  Verdict rework = with_breaks(3.1, 1, 7.2, Answer::rework);
  rework.best = BreakRange{0.4, 0.1, 1};
  rework.changes.resize(3);
  for (Change& change : rework.changes) change.chosen = true;
  EXPECT_EQ(
      sentence_of(rework),
      "As it stands, about 3 needle breaks per 100 caps, likely 1 to 7. Three changes bring it to "
      "about 0.4 needle breaks per 100 caps, likely 0.1 to 1.");
}

// 1.985 runs and 2.01 does not: neither may be read as "about 2".
TEST(Sentence, GivesTheDigitsThatTellAFigureFromTheLimit) {
  EXPECT_EQ(breaks_in_words(2.01, 2), "about 2.01 needle breaks per 100 caps (limit 2)");
  EXPECT_EQ(breaks_in_words(1.9949, 2), "about 1.99 needle breaks per 100 caps (limit 2)");
  EXPECT_EQ(breaks_in_words(1.9996, 2), "about 1.9996 needle breaks per 100 caps (limit 2)");
  EXPECT_EQ(breaks_in_words(2, 2), "about 2 needle breaks per 100 caps");
  EXPECT_EQ(breaks_in_words(0.4, 2), "about 0.4 needle breaks per 100 caps");
}

TEST(Changes, WhatSavesLessThanAHundredthIsNotToldUnlessTheSetUpNeedsIt) {
  Verdict verdict = with_breaks(3, 1, 7, Answer::rework);
  Change change;
  change.breaks = -0.009;
  EXPECT_FALSE(is_worth_telling(verdict, change));
  change.chosen = true;
  EXPECT_TRUE(is_worth_telling(verdict, change));
  verdict.answer = Answer::refuse;
  EXPECT_FALSE(is_worth_telling(verdict, change));
  change.breaks = -0.01;
  EXPECT_TRUE(is_worth_telling(verdict, change));
}

TEST(VerdictJson, WithoutAPlanEverythingFromTheForecastOnIsNull) {
  Verdict verdict;
  verdict.answer = Answer::refuse;
  const Json json = Json::parse(write_verdict(verdict));
  EXPECT_EQ(json["buckram_verdict"], 1);
  EXPECT_EQ(json["verdict"], "refuse");
  for (const char* field : {"breaks_per_100_caps", "clean_cap", "gap_mm", "drivers", "worst",
                            "registration_mm", "trapped_slack", "coverage", "per_cap"}) {
    ASSERT_TRUE(json.contains(field)) << field;
    EXPECT_TRUE(json[field].is_null()) << field;
  }
  for (const char* field : {"practice", "changes", "offers", "notes", "cautions"}) {
    EXPECT_TRUE(json[field].is_array()) << field;
  }
}

TEST(VerdictJson, NumbersHaveFourSignificantDigits) {
  Verdict verdict = with_breaks(3.14159265, 1.00004, 7.23456, Answer::rework);
  verdict.coverage = Coverage{0.123456, 0, 12.3456};
  const Json json = Json::parse(write_verdict(verdict));
  EXPECT_EQ(json["breaks_per_100_caps"]["mean"], 3.142);
  EXPECT_EQ(json["breaks_per_100_caps"]["low"], 1.0);
  EXPECT_EQ(json["coverage"]["missed"], 0.1235);
  EXPECT_EQ(json["coverage"]["left_out"], 12.35);
}

struct Shop {
  cap::Setup setup;
  std::shared_ptr<const needle::Mechanics> mechanics;
  std::vector<cap::Needle> needles;
};

Shop shop(const std::string& mount) {
  Shop made;
  made.mechanics = needle::read_mechanics(data("mechanics.toml"), "mechanics.toml");
  made.needles = cap::read_needles(data("needles.toml"), "needles.toml");
  made.setup.cap = cap::read_cap(data("caps/six-panel-structured-mid.toml"), "cap");
  made.setup.mount = cap::read_mount(data("mounts/" + mount + ".toml"), mount);
  const auto sharp = std::find_if(made.needles.begin(), made.needles.end(),
                                  [](const cap::Needle& n) { return n.name == "80:sharp"; });
  made.setup.bench = cap::bench_of(made.setup.mount, *sharp, {});
  return made;
}

Verdict judged(const Shop& s, double limit, std::vector<std::string> locked = {}) {
  JudgeOptions options;
  options.limit_breaks_per_100 = limit;
  options.locked = std::move(locked);
  options.draws = testing::kDraws;
  return judge(block(), s.setup, *s.mechanics, s.needles, options, data("practice.toml"));
}

// A verdict that several tests look at: on the rotary frame, to be reworked or refused.
const Verdict& over_the_limit() {
  static const Verdict verdict = judged(shop("rotary"), 0.5);
  return verdict;
}

TEST(Judge, TheLimitDecides) {
  const Shop s = shop("rotary");
  const double breaks = 100 * over_the_limit().forecast->breaks_per_cap;
  EXPECT_EQ(judged(s, breaks * 1.01).answer, Answer::run);
  EXPECT_NE(judged(s, breaks * 0.99).answer, Answer::run);
  EXPECT_EQ(judged(s, 0).answer, Answer::refuse);
}

// What a change is said to do alone is what a full forecast with it gives, to the last bit.
TEST(Judge, EachChangesEffectIsThatOfAFullForecastWithIt) {
  const Shop s = shop("rotary");
  needle::ForecastOptions options;
  options.draws = testing::kDraws;
  options.with_drivers = options.with_interval = options.with_words = false;
  const double before = needle::forecast(block(), s.setup, *s.mechanics, options).breaks_per_cap;
  int n_compared = 0;
  for (const Lever& lever : levers(s.setup, s.needles, {})) {
    for (const Level& level : lever.levels) {
      const auto told =
          std::find_if(over_the_limit().changes.begin(), over_the_limit().changes.end(),
                       [&](const Change& each) { return each.id == level.id; });
      if (told == over_the_limit().changes.end()) continue;
      const cap::Setup changed = cap::with_bench(s.setup, apply(s.setup.bench, lever.kind, level));
      const double after = needle::forecast(block(), changed, *s.mechanics, options).breaks_per_cap;
      EXPECT_DOUBLE_EQ(told->breaks, 100 * (after - before)) << level.id;
      ++n_compared;
    }
  }
  EXPECT_GE(n_compared, 4);
}

// A rework carries the forecast of the bench that it asks for, as that bench gives it.
TEST(Judge, AReworkTellsWhereItsSetUpWouldStillBreak) {
  const Shop s = shop("rotary");
  const double breaks = 100 * over_the_limit().forecast->breaks_per_cap;
  const Verdict verdict = judged(s, 0.9 * breaks);
  ASSERT_EQ(verdict.answer, Answer::rework);
  ASSERT_TRUE(verdict.as_set_up.has_value());
  EXPECT_DOUBLE_EQ(100 * verdict.as_set_up->forecast.breaks_per_cap, verdict.best->mean);
  EXPECT_LE(verdict.best->mean, 0.9 * breaks);
  EXPECT_FALSE(verdict.as_set_up->forecast.worst.empty());
  EXPECT_EQ(verdict.as_set_up->block_spm.size(), block().blocks.size());
}

TEST(Judge, ChangesSaveWhatTheySayAndStayWithinTheMount) {
  const Shop s = shop("rotary");
  const Verdict& verdict = over_the_limit();
  ASSERT_FALSE(verdict.changes.empty());
  for (const Change& change : verdict.changes) {
    EXPECT_FALSE(change.words.empty());
    if (change.id.starts_with("bench.raise_mm=")) {
      EXPECT_LE(std::stod(change.id.substr(15)), s.setup.mount.max_raise_mm);
      EXPECT_FALSE(change.caution.empty()) << "a plate is moved: power off";
    }
  }
}

// Both numbers, as the sheet and the packets have them.
TEST(Judge, NeedlesAreToldByBothNumbers) {
  const std::map<int, std::string> sizes{{65, "65/9"},  {70, "70/10"}, {75, "75/11"},
                                         {80, "80/12"}, {90, "90/14"}, {100, "100/16"}};
  const Shop s = shop("rotary");
  int n = 0;
  for (const Lever& lever : levers(s.setup, s.needles, {})) {
    if (lever.kind != LeverKind::needle) continue;
    for (const Level& level : lever.levels) {
      const auto found = sizes.find(std::stoi(level.id.substr(13)));  // after "bench.needle="
      ASSERT_NE(found, sizes.end()) << level.id;
      EXPECT_NE(level.words.find("size " + found->second + " needle"), std::string::npos)
          << level.words;
      ++n;
    }
  }
  EXPECT_GT(n, 1);
}

// A plate that has to be bought does not head the list when something at hand does nearly as much.
TEST(Judge, AmongNearlyEqualChangesTheLeastTroubleComesFirst) {
  const std::vector<Change>& changes = over_the_limit().changes;
  ASSERT_FALSE(changes.empty());
  double most = 0;
  for (const Change& change : changes) most = std::min(most, change.breaks);
  EXPECT_LE(changes.front().breaks, 0.75 * most);
  for (const Change& change : changes) {
    const auto is_bought = [](const Change& each) {
      return each.id.starts_with("bench.raise_mm") || each.id.starts_with("bench.needle");
    };
    if (!is_bought(change) && change.breaks <= 0.75 * most) {
      EXPECT_FALSE(is_bought(changes.front())) << change.id;
    }
  }
}

TEST(Judge, WhatIsLockedStaysAsItIs) {
  const Shop s = shop("rotary");
  for (const Change& change : judged(s, 0.5, {"bench.needle", "bench.clips"}).changes) {
    EXPECT_FALSE(change.id.starts_with("bench.needle")) << change.id;
    EXPECT_FALSE(change.id.starts_with("bench.clips")) << change.id;
  }
}

// How many of the worst places are told something with that in it.
int n_told(const Verdict& verdict, const std::string& words) {
  const auto& worst = verdict.forecast->worst;
  return static_cast<int>(std::count_if(worst.begin(), worst.end(), [&](const auto& place) {
    return place.helps.find(words) != std::string::npos;
  }));
}

TEST(Judge, WordsOfTheWorstPlacesAskForNothingThatTheShopLacksOrKeepsAsItIs) {
  const Shop s = shop("rotary");
  ASSERT_GT(n_told(over_the_limit(), "raise or pack the plate"), 0);
  JudgeOptions options;
  options.limit_breaks_per_100 = 0.5;
  options.draws = testing::kDraws;
  options.owned.raised_plates_mm = options.owned.packing_mm = std::vector<double>{};
  options.owned.needles = std::vector<std::string>{"80:sharp"};
  options.owned.has_clips = options.owned.has_press = false;
  const Verdict poor =
      judge(block(), s.setup, *s.mechanics, s.needles, options, data("practice.toml"));
  for (const char* words : {"plate", "clip", "press the", "thicker needle", "sharp point"}) {
    EXPECT_EQ(n_told(poor, words), 0) << words;
  }
  // One level that is locked leaves the others.
  const Verdict one = judged(s, 0.5, {"bench.raise_mm=2", "bench.packing_mm=0.5"});
  EXPECT_GT(n_told(one, "raise or pack the plate"), 0);
  EXPECT_EQ(n_told(judged(s, 0.5, {"bench.raise_mm", "bench.packing_mm"}), "the plate"), 0);
}

TEST(Judge, PracticeReportsHeightAboveTheBill) {
  const Verdict& verdict = over_the_limit();
  const auto row = std::find_if(verdict.practice.begin(), verdict.practice.end(),
                                [](const PracticeRow& r) { return r.id == "T9"; });
  ASSERT_NE(row, verdict.practice.end());
  EXPECT_NEAR(row->value, 16, 0.01);
  EXPECT_EQ(row->limit, 12.7);
  EXPECT_TRUE(row->kept);
}

TEST(Judge, CautionsAlwaysStand) {
  const Shop s = shop("rotary");
  for (const Verdict& verdict : {over_the_limit(), judged(s, 1e9)}) {
    EXPECT_EQ(verdict.cautions, standing_cautions());
    EXPECT_GE(verdict.cautions.size(), 6U);
  }
}

TEST(Judge, PerCapCountsThePlan) {
  const PerCap per_cap = *over_the_limit().per_cap;
  const stitch::Counts counts = stitch::count(block());
  EXPECT_EQ(per_cap.stitches, counts.stitches);
  EXPECT_EQ(per_cap.trims, counts.trims);
  EXPECT_GT(per_cap.time.sewing_s, counts.stitches / 650.0 * 60);
}

}  // namespace
}  // namespace buckram::advise
