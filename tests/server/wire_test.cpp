// The built program over raw sockets: what a browser, a stranger or a broken client meets.
#include "server/program.h"

#include <gtest/gtest.h>

#include <atomic>
#include <sys/resource.h>

namespace buckram::server {
namespace {

class Wired : public testing::Test {
 protected:
  Folder folder;
  Served served{folder};
};

TEST_F(Wired, PrintsOneAddressAndListensOnLoopbackOnly) {
  EXPECT_EQ(served.said(),
            "http://127.0.0.1:" + std::to_string(served.port()) + "/?t=" + served.token() + "\n");
  EXPECT_GE(served.token().size(), 32U);
  // The kernel's own table: local addresses in hex, 0100007F is 127.0.0.1 (proc(5)).
  std::ifstream table("/proc/net/tcp");
  std::string line;
  char port[8];
  std::snprintf(port, sizeof port, ":%04X", static_cast<unsigned>(served.port()));
  int n = 0;
  while (std::getline(table, line)) {
    if (line.find(port) == std::string::npos || line.find(" 0A ") == std::string::npos) continue;
    ++n;
    EXPECT_NE(line.find("0100007F" + std::string(port)), std::string::npos) << line;
  }
  EXPECT_EQ(n, 1);
}

TEST_F(Wired, EveryAnswerCarriesThePolicy) {
  for (const Reply& reply :
       {served.get("/api/about"), served.get("/nowhere"), served.raw("GET / HTTP/1.1\r\n\r\n"),
        served.raw("nonsense\r\n\r\n")}) {
    EXPECT_NE(reply.status, 0);
    EXPECT_NE(reply.field("Content-Security-Policy").find("default-src 'none'"), std::string::npos)
        << reply.head;
    EXPECT_EQ(reply.field("X-Content-Type-Options"), "nosniff");
    EXPECT_EQ(reply.field("X-Frame-Options"), "DENY");
  }
}

TEST_F(Wired, StrangersAreToldNothing) {
  const std::string host = "Host: " + served.host() + "\r\n";
  EXPECT_EQ(served.raw("GET /api/jobs HTTP/1.1\r\n" + host + "\r\n").status, 401);
  EXPECT_EQ(served.raw("GET / HTTP/1.1\r\nHost: harbour.example\r\n\r\n").status, 421);
  EXPECT_EQ(served.raw("GET / HTTP/1.1\r\n\r\n").status, 421);
  EXPECT_EQ(served.raw("GET / HTTP/1.1\r\n" + host + host + "\r\n").status, 421);
  EXPECT_EQ(served.ask("POST", "/api/jobs", "{}", "Origin: http://harbour.example\r\n").status,
            403);
  EXPECT_EQ(
      served
          .raw("POST /api/jobs HTTP/1.1\r\n" + served.own_fields() + "Content-Length: 2\r\n\r\n{}")
          .status,
      403);
  EXPECT_EQ(served.raw("OPTIONS /api/jobs HTTP/1.1\r\n" + served.own_fields() + "\r\n").status,
            405);
}

TEST_F(Wired, ThePrintedAddressLetsABrowserIn) {
  const Reply reply =
      served.raw("GET /?t=" + served.token() + " HTTP/1.1\r\nHost: " + served.host() + "\r\n\r\n");
  EXPECT_EQ(reply.status, 303);
  EXPECT_EQ(reply.field("Location"), "/");
  EXPECT_NE(reply.field("Set-Cookie").find("HttpOnly; SameSite=Strict"), std::string::npos);
}

TEST_F(Wired, MalformedRequestsAreRefusedAndTheServerLives) {
  EXPECT_EQ(served.raw("GET\r\n\r\n").status, 400);
  EXPECT_EQ(served.raw(std::string("\0\1\2\3\r\n\r\n", 8)).status, 400);
  EXPECT_EQ(served.raw("GET /%zz HTTP/1.1\r\n" + served.own_fields() + "\r\n").status, 400);
  EXPECT_EQ(
      served.raw("GET /a/../../etc/passwd HTTP/1.1\r\n" + served.own_fields() + "\r\n").status,
      400);
  EXPECT_EQ(served.raw("GET /" + std::string(20'000, 'a') + " HTTP/1.1\r\n\r\n").status, 431);
  EXPECT_EQ(served.raw("GET / HTTP/1.1\r\nX: " + std::string(70'000, 'a')).status, 431);
  EXPECT_EQ(served.ask("POST", "/api/jobs", "{").status, 400);
  EXPECT_EQ(served.ask("POST", "/api/jobs", std::string(100'000, '[')).status, 400);
  EXPECT_EQ(served.ask("POST", "/api/jobs", "[]").status, 422);
  EXPECT_EQ(served.ask("POST", "/api/jobs", R"({"sett":[]})").status, 422);
  EXPECT_EQ(served.get("/api/about").status, 200);
}

// RFC 9112, section 6.1: length and chunks together are what request smuggling is made of.
TEST_F(Wired, LengthAndChunksTogetherEndTheConnection) {
  Wire wire(served.port());
  wire.send("POST /api/jobs HTTP/1.1\r\n" + served.own_fields() +
            "X-Buckram: 1\r\nContent-Length: 5\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n"
            "GET /api/about HTTP/1.1\r\n" +
            served.own_fields() + "\r\n");
  const Reply first = wire.reply();
  EXPECT_TRUE(first.status == 400 || first.status == 0) << first.status;
  EXPECT_EQ(wire.reply(false, 3).status, 0) << "no second answer";
}

TEST_F(Wired, RequestsInOneGoAreAnsweredInOrder) {
  Wire wire(served.port());
  wire.send(served.request("GET", "/api/about") + served.request("GET", "/api/jobs") +
            served.request("HEAD", "/api/about") + served.request("GET", "/api/about"));
  EXPECT_EQ(value_in(wire.reply().body, "api"), "1");
  EXPECT_EQ(wire.reply().body, "{\"jobs\":[]}");
  EXPECT_EQ(wire.reply(true).status, 200);
  EXPECT_EQ(value_in(wire.reply().body, "api"), "1");
}

TEST_F(Wired, BodiesBeyondTheLimitAreRefusedUnread) {
  const std::string head = "POST /api/jobs HTTP/1.1\r\n" + served.own_fields() + "X-Buckram: 1\r\n";
  EXPECT_EQ(served.raw(head + "Content-Length: 2000000\r\n\r\n").status, 413);
  Wire chunked(served.port());
  chunked.send(head + "Transfer-Encoding: chunked\r\n\r\n");
  const std::string chunk = "10000\r\n" + std::string(0x10000, ' ') + "\r\n";
  int n = 0;
  while (n < 40 && chunked.send(chunk)) ++n;  // 2.6 MB
  EXPECT_EQ(chunked.reply().status, 413);
  const std::string art =
      "POST /api/artwork?name=a.svg HTTP/1.1\r\n" + served.own_fields() + "X-Buckram: 1\r\n";
  EXPECT_EQ(served.raw(art + "Content-Length: 17000000\r\n\r\n").status, 413);
  const Reply large = served.ask("POST", "/api/artwork?name=a.svg",
                                 std::string(kMark) + std::string(5'000'000, ' '));
  EXPECT_EQ(large.status, 201) << large.body;
  EXPECT_EQ(served.get("/api/about").status, 200);
}

// A head that never ends costs one socket for the ten seconds of docs/api.md, and nobody else.
TEST_F(Wired, SlowClientsHoldUpNobody) {
  std::vector<std::unique_ptr<Wire>> slow;
  for (int i = 0; i < 50; ++i) {
    slow.push_back(std::make_unique<Wire>(served.port()));
    slow.back()->send("GET /api/about HTTP/1.1\r\nHo");
  }
  const auto before = Clock::now();
  EXPECT_EQ(served.get("/api/about").status, 200);
  EXPECT_LT(std::chrono::duration<double>(Clock::now() - before).count(), 5);
  EXPECT_TRUE(slow.front()->is_closed(25));
}

int handles_of(pid_t pid) {
  int n = 0;
  for ([[maybe_unused]] const auto& each :
       fs::directory_iterator("/proc/" + std::to_string(pid) + "/fd"))
    ++n;
  return n;
}

long resident_kb(pid_t pid) {
  std::ifstream status("/proc/" + std::to_string(pid) + "/status");
  std::string word;
  while (status >> word) {
    if (word != "VmRSS:") continue;
    long kb = 0;
    status >> kb;
    return kb;
  }
  return 0;
}

void raise_handles() {
  rlimit limit{};
  getrlimit(RLIMIT_NOFILE, &limit);
  limit.rlim_cur = limit.rlim_max;
  setrlimit(RLIMIT_NOFILE, &limit);
}

// One round of the crowd: every connection open before the first is read. Answers that were right.
int crowd(const Served& served, int n) {
  std::vector<std::unique_ptr<Wire>> wires;
  for (int i = 0; i < n; ++i) {
    wires.push_back(std::make_unique<Wire>(served.port()));
    wires.back()->send(served.request("GET", i % 2 == 0 ? "/api/about" : "/api/jobs"));
  }
  int n_right = 0;
  for (int i = 0; i < n; ++i) {
    const Reply reply = wires[static_cast<std::size_t>(i)]->reply(false, 60);
    n_right += reply.status == 200 &&
               reply.body.find(i % 2 == 0 ? "buckram" : "jobs") != std::string::npos;
  }
  return n_right;
}

TEST_F(Wired, AThousandRequestsAtOnceBesideTwoHundredStreamsLoseAndLeakNothing) {
  raise_handles();
  const std::string id = create(served, upload(served), R"("artwork.height_mm=15")");
  ASSERT_FALSE(id.empty());
  settled(served, id);
  const int handles_before = handles_of(served.pid());
  long settled_kb = 0;
  {
    std::vector<std::unique_ptr<Wire>> streams;
    for (int i = 0; i < 200; ++i) {
      streams.push_back(std::make_unique<Wire>(served.port()));
      streams.back()->send(served.request("GET", "/api/jobs/" + id + "/events"));
    }
    for (auto& each : streams) ASSERT_TRUE(each->hears("event: state"));
    EXPECT_EQ(crowd(served, 1000), 1000);
    settled_kb = resident_kb(served.pid());
    for (int round = 0; round < 3; ++round) EXPECT_EQ(crowd(served, 1000), 1000);
    EXPECT_LT(resident_kb(served.pid()), settled_kb + 20'000) << "KB after the first round";
    // Every stream hears of the next revision.
    for (auto& each : streams) each->forget();
    EXPECT_EQ(served.ask("PATCH", "/api/jobs/" + id, R"({"set":["bench.speed_spm=600"]})").status,
              202);
    int n_heard = 0;
    for (auto& each : streams) n_heard += each->hears("event: shown\ndata: {\"revision\":2");
    EXPECT_EQ(n_heard, 200);
  }
  // The last client has gone: its sockets go too, as soon as the server looks at them.
  for (int i = 0; i < 400 && handles_of(served.pid()) > handles_before; ++i)
    std::this_thread::sleep_for(std::chrono::milliseconds(50));
  EXPECT_LE(handles_of(served.pid()), handles_before);
}

TEST_F(Wired, StopsWithinAMomentWhenAsked) {
  Wire stream(served.port());
  const std::string id = create(served, upload(served), R"("artwork.height_mm=15")");
  stream.send(served.request("GET", "/api/jobs/" + id + "/events"));
  EXPECT_TRUE(stream.hears("event: state"));
  const auto before = Clock::now();
  EXPECT_EQ(served.stop(SIGTERM), 0);
  EXPECT_LT(std::chrono::duration<double>(Clock::now() - before).count(), 20);
}

TEST(Lan, NeedsATokenFileAndListensUnderOneName) {
  const Folder folder;
  {
    Served refused(folder, {"--lan"});
    EXPECT_EQ(refused.wait(), 2) << refused.said();
    EXPECT_NE(refused.said().find("--token-file"), std::string::npos) << refused.said();
  }
  const std::string file = (folder.path() / "shop-token").string();
  Served served(folder, {"--lan", "--token-file", file, "--host", "bench-room"});
  ASSERT_EQ(served.host(), "bench-room:" + std::to_string(served.port())) << served.said();
  EXPECT_EQ(served.get("/api/about").status, 200);
  EXPECT_EQ(fs::status(file).permissions(), fs::perms::owner_read | fs::perms::owner_write);
  // Another person on the network, who has seen the name but not the token.
  EXPECT_EQ(served
                .raw("GET /api/jobs HTTP/1.1\r\nHost: " + served.host() + "\r\nCookie: buckram-" +
                     std::to_string(served.port()) + "=aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa\r\n\r\n")
                .status,
            401);
  EXPECT_EQ(served
                .raw("GET /api/jobs HTTP/1.1\r\nHost: 127.0.0.1:" + std::to_string(served.port()) +
                     "\r\n\r\n")
                .status,
            421);
}

TEST(Lan, AShortTokenIsRefused) {
  const Folder folder;
  std::ofstream(folder.path() / "token-file") << "secret\n";
  Served served(folder, {"--lan", "--token-file", (folder.path() / "token-file").string()});
  EXPECT_EQ(served.wait(), 2);
  EXPECT_NE(served.said().find("is not a token"), std::string::npos) << served.said();
}

TEST_F(Wired, ATakenPortAndATakenFolderAreToldPlainly) {
  Served second(folder);
  EXPECT_EQ(second.wait(), 2);
  EXPECT_NE(second.said().find("another buckram serve has this folder"), std::string::npos)
      << second.said();
  const Folder other;
  Served third(other, {"--port", std::to_string(served.port())});
  EXPECT_EQ(third.wait(), 2);
  EXPECT_NE(third.said().find("--port"), std::string::npos) << third.said();
}

}  // namespace
}  // namespace buckram::server
