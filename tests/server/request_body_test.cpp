#include "server/request_body.h"

#include <gtest/gtest.h>

namespace buckram::server {
namespace {

TEST(RequestBody, ReadsWhatThePageSends) {
  const Asked asked = read_asked(
      R"({"artwork":null,"set":["bench.raise_mm=2"],"unset":["gap"],"words":"Plate up"})");
  EXPECT_EQ(asked.artwork, "");
  EXPECT_EQ(asked.set, std::vector<std::string>{"bench.raise_mm=2"});
  EXPECT_EQ(asked.unset, std::vector<std::string>{"gap"});
  EXPECT_EQ(asked.words, "Plate up");
  EXPECT_FALSE(asked.layout);
  EXPECT_FALSE(read_asked("").artwork);
  EXPECT_EQ(read_asked(R"({"caps":null})").caps.size(), 0U);
}

TEST(RequestBody, WhatIsNoJsonIsToldFromWhatMakesNoSense) {
  for (const std::string& text :
       {std::string("{"), std::string("nonsense"), std::string("{\"set\":[}"), std::string("\xff"),
        std::string(1000, '['), "{\"set\":" + std::string(1000, '[')})
    EXPECT_THROW(read_asked(text), NotJson) << text.substr(0, 40);
  for (const char* text : {"[]", "1", "null", R"({"set":"x"})", R"({"set":[1]})", R"({"x":1})",
                           R"({"artwork":{}})", R"({"words":["a"]})", R"({"copy_of":null})"})
    EXPECT_THROW(read_asked(text), base::Error) << text;
  std::string many = R"({"set":["a=1")";
  for (int i = 0; i < 1000; ++i) many += R"(,"a=1")";
  EXPECT_THROW(read_asked(many + "]}"), base::Error);
}

TEST(RequestBody, BracketsWithinTextsDoNotCountAsDepth) {
  EXPECT_EQ(read_asked(R"({"words":")" + std::string(200, '[') + "\"}").words.size(), 200U);
  EXPECT_EQ(read_asked(R"({"words":"\"[[[[[[[[[[[[[[[[[[[[[[[["})").words.size(), 25U);
}

TEST(RequestBody, BreaksHaveAnEntryInRange) {
  EXPECT_EQ(read_break(R"({"entry":812,"needle":4,"cap":3,"note":"x"})").entry, 812);
  EXPECT_EQ(read_break(R"({"entry":8})").broke, Broke::needle);
  EXPECT_EQ(read_break(R"({"entry":8,"broke":"thread"})").broke, Broke::thread);
  EXPECT_THROW(read_break(R"({"entry":8,"broke":"bobbin"})"), base::Error);
  const BreakReport whole =
      read_break(R"({"entry":8,"event":"a1","at":"2026-11-30T07:21:06Z","revision":3})");
  EXPECT_EQ(whole.event, "a1");
  EXPECT_EQ(whole.at, "2026-11-30T07:21:06Z");
  EXPECT_EQ(whole.revision, 3);
  for (const char* text :
       {R"({})", R"({"entry":-1})", R"({"entry":1.5})", R"({"entry":"1"})", R"({"entry":1e9})",
        R"({"entry":18446744073709551615})", R"({"entry":1,"needle":100})",
        R"({"entry":1,"revision":0})", R"({"entry":1,"event":"../x"})", R"({"entry":1,"event":""})",
        R"({"entry":1,"at":"yesterday"})", R"({"entry":1,"at":"2026-11-30T07:21:06"})",
        R"({"entry":1,"at":"2026-11-30T07:21:06\"Z"})"})
    EXPECT_THROW(read_break(text), base::Error) << text;
}

TEST(RequestBody, TicksAreTrueOrFalse) {
  EXPECT_EQ(read_ticks(R"({"ticks":{"a":true,"b":false}})"), std::vector<std::string>{"a"});
  for (const char* text :
       {R"({})", R"({"ticks":[]})", R"({"ticks":{"a":1}})", R"({"ticks":{},"x":1})"})
    EXPECT_THROW(read_ticks(text), base::Error) << text;
}

}  // namespace
}  // namespace buckram::server
