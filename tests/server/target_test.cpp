#include "server/target.h"

#include <gtest/gtest.h>

namespace buckram::server {
namespace {

using Path = std::vector<std::string>;

TEST(Target, PathIsSplitAndDecodedOnce) {
  EXPECT_EQ(read_target("/")->path, Path{});
  EXPECT_EQ(read_target("/api/jobs/a-1")->path, (Path{"api", "jobs", "a-1"}));
  // RFC 3986, section 2.1: percent-encoding; section 2.4: decoded once and no more.
  EXPECT_EQ(read_target("/a%20b/%2541")->path, (Path{"a b", "%41"}));
  EXPECT_EQ(read_target("/caf%C3%A9")->path, (Path{"caf\u00e9"}));
}

TEST(Target, QueryIsReadAsFormsWriteIt) {
  const auto target = read_target("/api/jobs?find=keld+harbour%2B&x&find=two");
  ASSERT_TRUE(target);
  EXPECT_EQ(query_of(*target, "find"), "keld harbour+");
  EXPECT_EQ(query_of(*target, "x"), "");
  EXPECT_EQ(query_of(*target, "y"), std::nullopt);
}

TEST(Target, WaysOutOfTheFolderAreRefused) {
  for (const char* text :
       {"/../etc/passwd", "/api/../..", "/%2e%2e/x", "/%2E./x", "/a/..%2f..%2fx", "/a%2fb",
        "/a%5cb", "/a\\b", "//host/x", "/a//b", "/./a", "/a/", "/a/%2e"})
    EXPECT_FALSE(read_target(text)) << text;
}

TEST(Target, WhatIsNoTargetIsRefused) {
  for (const char* text : {"", "*", "api", "http://host/", "/%", "/%4", "/%zz", "/a%00b", "/a%0ab",
                           "/%ff", "/?x=%ff", "/a%7f"})
    EXPECT_FALSE(read_target(text)) << text;
  EXPECT_TRUE(read_target("/" + std::string(kLongestTarget - 1, 'a')));
  EXPECT_FALSE(read_target("/" + std::string(kLongestTarget, 'a')));
}

}  // namespace
}  // namespace buckram::server
