#include "server/record.h"

#include "base/base.h"

#include <gtest/gtest.h>

namespace buckram::server {
namespace {

Record record() {
  Record r;
  r.id = "keld-harbour-crest-3f9ac2d1";
  r.made = r.changed = "2026-11-30T07:21:06Z";
  r.steps = {{"", "a-1", {"artwork.height_mm=46"}, "", false},
             {"Needle 75 \"sharp\"",
              "a-1",
              {"artwork.height_mm=46", "bench.needle=\"75:sharp\""},
              "",
              true}};
  r.at = 1;
  r.revision = 7;
  r.shown = 6;
  r.before = 4;
  r.state = State::failed;
  r.error = R"({"code":"bad_job"})";
  r.summary = {"Keld \u00e9", "crest.svg", "cap", "mount", 46.5, 48, "rework", 0.1};
  return r;
}

// Law of record.h.
TEST(Record, ReadingWhatWasWrittenGivesItBack) {
  EXPECT_EQ(read_record(write_record(record()), "x"), record());
  Record bare = record();
  bare.summary.height_mm.reset();
  bare.summary.breaks_per_100.reset();
  EXPECT_EQ(read_record(write_record(bare), "x"), bare);
}

// Every file cut short anywhere, and figures that cannot be.
TEST(Record, DamagedFilesAreRefused) {
  const std::string whole = write_record(record());
  for (std::size_t n = 0; n + 2 < whole.size(); n += 7)
    EXPECT_THROW(read_record(whole.substr(0, n), "x"), base::Error) << n;
  for (const auto& [from, to] :
       {std::pair{"\"at\": 1", "\"at\": 2"}, std::pair{"\"shown\": 6", "\"shown\": 8"},
        std::pair{"\"state\": \"failed\"", "\"state\": \"lost\""},
        std::pair{"\"revision\": 7", "\"revision\": \"7\""},
        std::pair{"keld-harbour-crest-3f9ac2d1", "../x"}}) {
    std::string text = whole;
    const std::size_t at = text.find(from);
    ASSERT_NE(at, std::string::npos) << from;
    text.replace(at, std::string(from).size(), to);
    EXPECT_THROW(read_record(text, "x"), base::Error) << to;
  }
}

TEST(Record, EachSettingTakesThePlaceOfTheOneWithItsKey) {
  std::vector<std::string> set{"a.x=1", "b=2"};
  lay_over(set, {"c=3", "a.x=4", "c=5"});
  EXPECT_EQ(set, (std::vector<std::string>{"a.x=4", "b=2", "c=5"}));
  std::vector<std::string> many;
  for (std::size_t i = 0; i <= kMostSettings; ++i) many.push_back("k" + std::to_string(i) + "=1");
  EXPECT_THROW(lay_over(set, many), base::Error);
}

TEST(Record, IdsAreNamesOfFoldersAndNoWayOut) {
  for (const char* good : {"a", "keld-1", "0"}) EXPECT_TRUE(is_id(good));
  for (const char* bad : {"", ".", "..", "a/b", "A", "a b", "a\n"}) EXPECT_FALSE(is_id(bad)) << bad;
  EXPECT_FALSE(is_id(std::string(81, 'a')));
}

}  // namespace
}  // namespace buckram::server
