// The rules of docs/api.md, "Who may ask", one by one.
#include "server/gate.h"

#include <gtest/gtest.h>

namespace buckram::server {
namespace {

const std::string kToken = "abcdefghijklmnopqrstuvwxyz234567";

Gate gate() {
  return {"127.0.0.1:8040", kToken, "buckram-8040"};
}

Head head(const std::string& method, const std::string& target, std::vector<Field> more = {}) {
  Head head{method, target, {{"Host", "127.0.0.1:8040"}, {"Cookie", "buckram-8040=" + kToken}}};
  if (method != "GET" && method != "HEAD") head.fields.push_back({"X-Buckram", "1"});
  head.fields.insert(head.fields.end(), more.begin(), more.end());
  return head;
}

int status(const Head& head) {
  const auto stopped = stopped_at(gate(), head);
  return stopped ? stopped->status : 200;
}

Head with(Head head, const std::string& name, const std::string& value) {
  for (Field& each : head.fields) {
    if (each.name == name) each.value = value;
  }
  return head;
}

Head without(Head head, const std::string& name) {
  std::erase_if(head.fields, [&](const Field& each) { return each.name == name; });
  return head;
}

TEST(Gate, ThePagesOwnRequestsPass) {
  EXPECT_EQ(status(head("GET", "/")), 200);
  EXPECT_EQ(status(head("POST", "/api/jobs",
                        {{"Origin", "http://127.0.0.1:8040"}, {"Sec-Fetch-Site", "same-origin"}})),
            200);
  EXPECT_EQ(status(head("GET", "/", {{"Sec-Fetch-Site", "none"}})), 200);
}

// DNS rebinding: the other name arrives in Host.
TEST(Gate, OneHostAndThatOne) {
  for (const char* host : {"localhost:8040", "127.0.0.1", "127.0.0.1:80", "harbour.example:8040",
                           "127.0.0.1:8040.harbour.example", "", "127.0.0.1:8040 "})
    EXPECT_EQ(status(with(head("GET", "/"), "Host", host)), 421) << host;
  EXPECT_EQ(status(without(head("GET", "/"), "Host")), 421);
  EXPECT_EQ(status(head("GET", "/", {{"host", "127.0.0.1:8040"}})), 421) << "twice";
}

TEST(Gate, OtherOriginsAreKeptOff) {
  for (const char* origin : {"http://harbour.example", "https://127.0.0.1:8040", "null", "",
                             "http://127.0.0.1:8040/", "http://127.0.0.1:8041"})
    EXPECT_EQ(status(head("POST", "/api/jobs", {{"Origin", origin}})), 403) << origin;
  EXPECT_EQ(status(head("GET", "/api/jobs", {{"Origin", "http://harbour.example"}})), 403);
}

// W3C Fetch Metadata: only a visit may come from elsewhere, and not into a frame.
TEST(Gate, RequestsOfOtherSitesAreKeptOff) {
  EXPECT_EQ(status(head("GET", "/api/jobs", {{"Sec-Fetch-Site", "cross-site"}})), 403);
  EXPECT_EQ(status(head("GET", "/api/jobs", {{"Sec-Fetch-Site", "same-site"}})), 403);
  EXPECT_EQ(
      status(head("GET", "/", {{"Sec-Fetch-Site", "cross-site"}, {"Sec-Fetch-Mode", "navigate"}})),
      200);
  EXPECT_EQ(status(head("GET", "/",
                        {{"Sec-Fetch-Site", "cross-site"},
                         {"Sec-Fetch-Mode", "navigate"},
                         {"Sec-Fetch-Dest", "iframe"}})),
            403);
  EXPECT_EQ(status(head("POST", "/api/jobs",
                        {{"Sec-Fetch-Site", "cross-site"}, {"Sec-Fetch-Mode", "navigate"}})),
            403);
}

TEST(Gate, WritesCarryTheFieldThatNoFormCanSend) {
  for (const char* method : {"POST", "PUT", "PATCH", "DELETE"}) {
    EXPECT_EQ(status(head(method, "/api/jobs")), 200) << method;
    EXPECT_EQ(status(without(head(method, "/api/jobs"), "X-Buckram")), 403) << method;
    EXPECT_EQ(status(with(head(method, "/api/jobs"), "X-Buckram", "0")), 403) << method;
  }
}

TEST(Gate, OtherMethodsAreRefused) {
  for (const char* method : {"OPTIONS", "TRACE", "CONNECT", "get", "", "PROPFIND"})
    EXPECT_EQ(status(head(method, "/")), 405) << method;
}

TEST(Gate, WithoutTheTokenNothingIsTold) {
  const std::string other(kToken.size(), 'a');
  const std::vector<std::string> cookies{"",
                                         "buckram-8040=",
                                         "buckram-8040=" + other,
                                         "buckram-8040=" + kToken.substr(1),
                                         "buckram-8040=" + kToken + "a",
                                         "buckram-8041=" + kToken,
                                         "xbuckram-8040=" + kToken,
                                         kToken};
  for (const std::string& cookie : cookies)
    EXPECT_EQ(status(with(head("GET", "/api/jobs"), "Cookie", cookie)), 401) << cookie;
  EXPECT_EQ(
      status(with(head("GET", "/api/jobs"), "Cookie", "a=b; buckram-8040=" + kToken + "; c=d")),
      200);
}

TEST(Gate, ThePrintedAddressSetsAStrictCookieAndDropsTheToken) {
  const auto stopped =
      stopped_at(gate(), without(head("GET", "/job/crest-1?t=" + kToken), "Cookie"));
  ASSERT_TRUE(stopped);
  EXPECT_EQ(stopped->status, 303);
  std::string cookie, location;
  for (const Field& each : stopped->fields) {
    if (each.name == "Set-Cookie") cookie = each.value;
    if (each.name == "Location") location = each.value;
  }
  EXPECT_EQ(location, "/job/crest-1");
  for (const char* part : {"HttpOnly", "SameSite=Strict", "Path=/"})
    EXPECT_NE(cookie.find(part), std::string::npos) << part;
  EXPECT_EQ(status(without(head("GET", "/?t=" + kToken.substr(1)), "Cookie")), 401);
  // A way to another host by our Location.
  for (const char* target : {"//harbour.example/", "/\\harbour.example/", "/%2e%2e/x"})
    EXPECT_EQ(status(without(head("GET", target + ("?t=" + kToken)), "Cookie")), 401) << target;
}

TEST(Gate, PolicyForbidsInlineScriptsAndFrames) {
  std::string policy;
  for (const Field& each : fixed_fields()) {
    if (each.name == "Content-Security-Policy") policy = each.value;
  }
  EXPECT_NE(policy.find("default-src 'none'"), std::string::npos);
  EXPECT_NE(policy.find("frame-ancestors 'none'"), std::string::npos);
  EXPECT_EQ(policy.find("unsafe"), std::string::npos);
  EXPECT_EQ(policy.find("data:"), std::string::npos);
  EXPECT_EQ(policy.find("blob:"), std::string::npos);
}

}  // namespace
}  // namespace buckram::server
