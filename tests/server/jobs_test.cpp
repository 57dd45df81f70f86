// Jobs by way of the API, with the built program: planning, changes, undo, stop, kill and restart,
// the floor; and that its files are the command line's own, byte for byte.
#include "server/program.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cstdio>
#include <set>

namespace buckram::server {
namespace {

class Working : public testing::Test {
 protected:
  std::string job(const std::string& settings = R"("artwork.height_mm=15")") {
    const std::string id = create(served, upload(served), settings);
    EXPECT_FALSE(id.empty());
    return id;
  }
  std::string text(const std::string& id) { return served.get("/api/jobs/" + id).body; }
  std::string value(const std::string& id, const std::string& key) {
    return value_in(text(id), key);
  }
  Reply patch(const std::string& id, const std::string& body) {
    return served.ask("PATCH", "/api/jobs/" + id, body);
  }
  Folder folder;
  Served served{folder};
};

std::string run(const std::string& words) {
  const std::string command = std::string(BUCKRAM_BUILD "/bin/buckram ") + words + " 2>&1";
  std::string out;
  FILE* pipe = ::popen(command.c_str(), "r");
  char buffer[4096];
  while (std::size_t n = std::fread(buffer, 1, sizeof buffer, pipe)) out.append(buffer, n);
  ::pclose(pipe);
  return out;
}

std::string slurp(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  std::stringstream all;
  all << in.rdbuf();
  return all.str();
}

TEST_F(Working, AJobIsPlannedAndItsFilesAreThere) {
  const std::string id = job();
  EXPECT_EQ(settled(served, id), "done") << text(id);
  EXPECT_EQ(value(id, "shown_revision"), "1");
  for (const char* name : {"plan.json", "verdict.json", "stitches.csv", "chart.svg", "preview.png",
                           "sheet.pdf", "stitches.gcode", "view", "floor"})
    EXPECT_GT(served.get("/api/jobs/" + id + "/" + name).body.size(), 200U) << name;
  EXPECT_EQ(served.get("/api/jobs/" + id + "/job.json").status, 404);
  EXPECT_EQ(served.get("/api/jobs/" + id + "/..").status, 400);
  EXPECT_EQ(served.get("/api/jobs/nobody").status, 404);
  const std::string list = served.get("/api/jobs?find=mark+six-panel").body;
  EXPECT_NE(list.find("\"id\":\"" + id + "\""), std::string::npos) << list;
  EXPECT_EQ(served.get("/api/jobs?find=herring").body, "{\"jobs\":[]}");
}

// The three examples of examples/, asked by page and by command line.
TEST_F(Working, FilesAreTheCommandLinesOwnByteForByte) {
  struct Example {
    const char* name;
    const char* settings;
  };
  const Example examples[] = {
      {"keld-harbour-crest",
       R"("artwork.title=\"Keld Harbour crest\"","artwork.height_mm=46",)"
       R"("cap.name=six-panel-structured-mid","bench.mount=rotary","bench.needle=\"80:sharp\"",)"
       R"("bench.speed_spm=900","order.caps=48","order.customer=\"Keld Harbour Rowing\"")"},
      {"skerry-light-badge",
       R"("artwork.title=\"Skerry Light badge\"","artwork.height_mm=50",)"
       R"("cap.name=six-panel-soft-low","bench.mount=flat-cap-hoop","bench.needle=\"75:sharp\"",)"
       R"("bench.speed_spm=650","order.caps=12","order.customer=\"Skerry Light Bakehouse\"")"},
      {"tern-and-tide-wordmark",
       R"("artwork.title=\"Tern & Tide wordmark\"","artwork.width_mm=105",)"
       R"("cap.name=five-panel-structured-mid","bench.mount=rotary","bench.needle=\"75:sharp\"",)"
       R"("bench.speed_spm=700","order.caps=24","order.customer=\"Tern & Tide, chandlers\"")"}};
  for (const Example& each : examples) {
    const std::string name = each.name;
    const std::string artwork =
        upload(served, slurp(BUCKRAM_ROOT "/examples/" + name + ".svg"), name + ".svg");
    const std::string id = create(served, artwork, each.settings);
    ASSERT_EQ(settled(served, id), "done") << text(id);
    // As a user has it: the job file beside the artwork that the page kept.
    const fs::path kept = folder.path() / "jobs/artwork" / artwork;
    fs::copy_file(BUCKRAM_ROOT "/examples/" + name + ".toml", kept / "job.toml");
    const fs::path own = folder.path() / "jobs/jobs" / id / "by-hand";
    const std::string said =
        run("plan '" + (kept / "job.toml").string() + "' --quiet -o '" + own.string() + "'");
    for (const char* file : {"plan.json", "verdict.json", "stitches.csv", "chart.svg",
                             "preview.png", "sheet.pdf", "stitches.gcode"}) {
      const std::string expected = slurp(own / file);
      EXPECT_GT(expected.size(), 200U) << name << ' ' << file << said;
      EXPECT_TRUE(served.get("/api/jobs/" + id + "/" + file).body == expected)
          << name << ' ' << file;
    }
  }
}

TEST_F(Working, ABenchChangeIsAnsweredWithTheNumberThatFollows) {
  const std::string id = job();
  settled(served, id);
  const Reply reply = patch(id, R"({"set":["bench.speed_spm=1000"],"words":"Speed 1000"})");
  EXPECT_EQ(reply.status, 202);
  EXPECT_EQ(value_in(reply.body, "revision"), "2");
  const double quick = std::atof(value_in(reply.body, "mean").c_str());
  settled(served, id);
  const std::string verdict = served.get("/api/jobs/" + id + "/verdict.json").body;
  std::string compact = verdict;
  std::erase_if(compact, [](char c) { return c == ' ' || c == '\n'; });
  const std::size_t at = compact.find("\"breaks_per_100_caps\":");
  const double full = std::atof(value_in(compact.substr(at), "mean").c_str());
  EXPECT_GT(full, 0);
  // The same stitches, the same caps drawn: equal but for the digits that are written.
  EXPECT_NEAR(quick / full, 1, 1e-3);
  EXPECT_EQ(value_in(patch(id, R"({"set":["artwork.height_mm=16"]})").body, "quick"), "null");
}

// While other stitches are on their way, the number of those shown is nobody's answer.
TEST_F(Working, OnlyTheStitchesAskedForAreAnsweredWithANumber) {
  const std::string id = job();
  settled(served, id);
  patch(id, R"({"set":["artwork.height_mm=17"]})");
  const Reply reply = patch(id, R"({"set":["bench.speed_spm=990"]})");
  const bool is_planned = value(id, "shown_revision") != "1";  // on a machine that fast
  EXPECT_TRUE(is_planned || value_in(reply.body, "quick") == "null") << reply.body;
  settled(served, id);
  EXPECT_NE(value_in(patch(id, R"({"set":["bench.speed_spm=980"]})").body, "quick"), "null");
  EXPECT_NE(value_in(patch(id, R"({"set":["bench.speed_spm=970"]})").body, "quick"), "null");
}

TEST_F(Working, PictureVerdictAndFilesComeInThatOrder) {
  const std::string crest =
      upload(served, slurp(BUCKRAM_ROOT "/examples/keld-harbour-crest.svg"), "crest.svg");
  const std::string id = create(served, crest, R"("artwork.height_mm=46")");
  Wire stream(served.port());
  stream.send(served.request("GET", "/api/jobs/" + id + "/events"));
  ASSERT_TRUE(stream.hears(R"("has":"stitches")"));
  EXPECT_GT(served.get("/api/jobs/" + id + "/view").body.size(), 10'000U);
  ASSERT_TRUE(stream.hears(R"("has":"verdict")"));
  EXPECT_NE(value(id, "verdict"), "null");
  ASSERT_TRUE(stream.hears("event: shown"));
  const std::string heard = stream.heard();
  EXPECT_LT(heard.find(R"("has":"stitches")"), heard.find(R"("has":"verdict")"));
  EXPECT_LT(heard.find(R"("has":"verdict")"), heard.find("event: shown"));
  EXPECT_EQ(settled(served, id), "done");
  EXPECT_EQ(value(id, "ahead"), "null");
}

TEST_F(Working, AnotherMountLeavesTheOldOnesBenchBehind) {
  const std::string id = job(R"("artwork.height_mm=15","bench.raise_mm=3","bench.clips=true")");
  settled(served, id);
  patch(id, R"({"set":["bench.mount=flat-hoop"]})");
  EXPECT_EQ(value(id, "raise_mm"), "0.0");
  EXPECT_EQ(value(id, "clips"), "true");
  patch(id, R"({"set":["bench.mount=rotary","bench.raise_mm=2"]})");
  EXPECT_EQ(value(id, "raise_mm"), "2.0") << "asked for with the mount";
  patch(id, R"({"unset":["bench.mount"]})");
  EXPECT_EQ(value(id, "raise_mm"), "2.0") << "the same mount";
}

// Measured on the plain plate, a gap is smaller on a raised one: the readings do not cancel it.
TEST_F(Working, GapsStayOfTheBenchTheyWereMeasuredOn) {
  const std::string id =
      job(R"("artwork.height_mm=15","gap=[{x_mm=0,y_mm=20,gap_mm=4,sd_mm=0.1}]")");
  settled(served, id);
  const auto mean = [&] {
    std::string verdict = served.get("/api/jobs/" + id + "/verdict.json").body;
    std::erase_if(verdict, [](char c) { return c == ' ' || c == '\n'; });
    return std::atof(value_in(verdict.substr(verdict.find("gap_mm")), "mean").c_str());
  };
  const double before = mean();
  patch(id, R"({"set":["bench.raise_mm=3"]})");
  settled(served, id);
  EXPECT_LT(mean(), before - 1);
  patch(id, R"({"set":["gap=[{x_mm=0,y_mm=20,gap_mm=4,sd_mm=0.1}]"]})");
  settled(served, id);
  EXPECT_NEAR(mean(), before, 0.5) << "measured on the raised plate";
}

TEST_F(Working, StepsAreTakenBackAndMadeAgainAlsoAfterARestart) {
  const std::string id = job();
  settled(served, id);
  const std::string first = served.get("/api/jobs/" + id + "/plan.json").body;
  patch(id, R"({"set":["bench.needle=\"75:sharp\""],"words":"Needle 75 sharp"})");
  settled(served, id);
  EXPECT_EQ(value(id, "undo"), "Needle 75 sharp");
  EXPECT_NE(served.get("/api/jobs/" + id + "/plan.json").body, first);
  EXPECT_EQ(served.get("/api/jobs/" + id + "/plan.json?of=before").body, first);
  EXPECT_EQ(served.stop(SIGTERM), 0);
  served.start();
  EXPECT_EQ(served.ask("POST", "/api/jobs/" + id + "/undo").status, 202);
  EXPECT_EQ(settled(served, id), "done");
  EXPECT_EQ(served.get("/api/jobs/" + id + "/plan.json").body, first);
  EXPECT_EQ(value(id, "undo"), "null");
  EXPECT_EQ(value(id, "redo"), "Needle 75 sharp");
  served.ask("POST", "/api/jobs/" + id + "/redo");
  settled(served, id);
  EXPECT_EQ(value(id, "needle"), "75:sharp");
  const std::string revision = value(id, "revision");
  served.ask("POST", "/api/jobs/" + id + "/redo");
  EXPECT_EQ(value(id, "revision"), revision) << "nothing is left to make again";
}

TEST_F(Working, NoSettingNamesAFile) {
  const std::string artwork = upload(served);
  for (const char* setting :
       {R"("artwork.file=/etc/passwd")", R"("artwork.threads=/etc/passwd")",
        R"("cap.name=/etc/passwd")", R"("cap.name=../x")", R"("bench.mount=./x")",
        R"("bench.mount=x.toml")", R"("artwork.font=/etc/passwd")", R"("artwork.font=x.ttf")",
        R"("artwork={file=\"/etc/passwd\"}")", R"("cap={name=\"/etc/passwd\"}")"}) {
    const Reply reply =
        served.ask("POST", "/api/jobs",
                   R"({"artwork":null,"set":["artwork.text=KELD",)" + std::string(setting) + "]}");
    EXPECT_EQ(reply.status, 422) << setting << reply.body;
  }
  EXPECT_EQ(served.ask("POST", "/api/jobs", R"({"layout":"../x"})").status, 422);
  EXPECT_EQ(served.ask("POST", "/api/jobs", R"({"artwork":"../x"})").status, 422);
  EXPECT_EQ(
      served
          .ask("POST", "/api/offers", R"({"artwork":")" + artwork + R"(","caps":["/etc/passwd"]})")
          .status,
      422);
  EXPECT_EQ(served.get("/api/jobs").body, "{\"jobs\":[]}") << "nothing was kept";
}

TEST_F(Working, NamesOfArtworkAreData) {
  for (const char* name :
       {"..%2f..%2fetc%2fcron.svg", "%2e%2e%2f.svg", ".svg", "a%5cb.svg", "%00.svg", "plan.json"}) {
    const Reply reply = served.ask("POST", std::string("/api/artwork?name=") + name, kMark);
    EXPECT_TRUE(reply.status == 201 || reply.status == 422 || reply.status == 400)
        << name << reply.body;
  }
  for (const auto& entry : fs::recursive_directory_iterator(folder.path())) {
    if (!entry.is_regular_file()) continue;
    const std::string below = fs::relative(entry.path(), folder.path() / "jobs").string();
    EXPECT_FALSE(below.starts_with("..")) << below;
    const std::set<std::string> own{"lock", "token"};
    EXPECT_TRUE(below.starts_with("artwork/") || own.contains(below)) << below;
  }
  EXPECT_EQ(served.ask("POST", "/api/artwork?name=a.svg", "this is no drawing").status, 422);
  EXPECT_EQ(served.ask("POST", "/api/artwork?name=a.svg").status, 422);
}

TEST_F(Working, WrongValuesAreToldWithThePlaceAndChangeNothing) {
  const std::string id = job();
  settled(served, id);
  const Reply reply = patch(id, R"({"set":["bench.speed_spm=9000"]})");
  EXPECT_EQ(reply.status, 422);
  EXPECT_NE(value_in(reply.body, "where").find("speed_spm"), std::string::npos) << reply.body;
  EXPECT_EQ(patch(id, R"({"set":["bench.spead_spm=900"]})").status, 422);
  EXPECT_EQ(patch(id, R"({"set":["bench.needle=\"81:sharp\""]})").status, 422);
  EXPECT_EQ(value(id, "revision"), "1");
}

TEST_F(Working, ArtworkThatDoesNotFitIsRefusedWithOffers) {
  const std::string id = job(R"("artwork.height_mm=200")");
  EXPECT_EQ(settled(served, id), "refused");
  EXPECT_NE(text(id).find("\"offers\":[{"), std::string::npos);
  EXPECT_EQ(served.get("/api/jobs/" + id + "/plan.json").status, 404);
  const std::string view = served.get("/api/jobs/" + id + "/view").body;
  EXPECT_NE(view.find("\"op\":\"\""), std::string::npos);
  EXPECT_NE(view.find("\"gap\":{"), std::string::npos);
}

// The crest, so that there is time to stop it.
TEST_F(Working, AStoppedRunLeavesWhatWasShownAndCanBeBegunAgain) {
  const std::string crest =
      upload(served, slurp(BUCKRAM_ROOT "/examples/keld-harbour-crest.svg"), "crest.svg");
  const std::string id = create(served, crest, R"("artwork.height_mm=46")");
  Wire stream(served.port());
  stream.send(served.request("GET", "/api/jobs/" + id + "/events"));
  ASSERT_TRUE(stream.hears("event: progress"));
  EXPECT_EQ(served.ask("POST", "/api/jobs/" + id + "/cancel").status, 200);
  EXPECT_TRUE(stream.hears("event: cancelled"));
  EXPECT_EQ(value(id, "state"), "cancelled");
  EXPECT_EQ(value(id, "shown_revision"), "0");
  EXPECT_EQ(patch(id, R"({"set":[]})").status, 202);
  EXPECT_EQ(settled(served, id), "done");
}

TEST_F(Working, ANewerChangeStopsTheOlderRun) {
  const std::string crest =
      upload(served, slurp(BUCKRAM_ROOT "/examples/keld-harbour-crest.svg"), "crest.svg");
  const std::string id = create(served, crest, R"("artwork.height_mm=46")");
  for (const char* height : {"40", "38", "20"})
    EXPECT_EQ(patch(id, std::string(R"({"set":["artwork.height_mm=)") + height + "\"]}").status,
              202);
  EXPECT_EQ(settled(served, id), "done");
  EXPECT_EQ(value(id, "shown_revision"), "4");
  const fs::path jobs = folder.path() / "jobs/jobs" / id;
  int n_plans = 0;
  for (const auto& entry : fs::directory_iterator(jobs))
    n_plans += entry.path().filename().string().starts_with("plan-");
  EXPECT_LE(n_plans, 2) << "shown and before";
  EXPECT_TRUE(fs::is_empty(folder.path() / "jobs/making"));
}

TEST_F(Working, TwoJobsArePlannedAtOnce) {
  const std::string crest =
      upload(served, slurp(BUCKRAM_ROOT "/examples/keld-harbour-crest.svg"), "crest.svg");
  const std::string a = create(served, crest, R"("artwork.height_mm=46")");
  const std::string b = create(served, crest, R"("artwork.height_mm=45")");
  Wire one(served.port()), two(served.port());
  one.send(served.request("GET", "/api/jobs/" + a + "/events"));
  two.send(served.request("GET", "/api/jobs/" + b + "/events"));
  // Both are past waiting before either is shown.
  EXPECT_TRUE(one.hears("\"done\":2"));
  EXPECT_TRUE(two.hears("\"done\":2"));
  EXPECT_EQ(one.heard().find("event: shown"), std::string::npos);
  EXPECT_EQ(settled(served, a), "done");
  EXPECT_EQ(settled(served, b), "done");
}

// Killed at many moments of a run: what is shown is whole, and what was asked is planned.
TEST_F(Working, KilledAtAnyMomentItLosesNothing) {
  const std::string id = job();
  ASSERT_EQ(settled(served, id), "done");
  int revision = 1;
  for (const int wait_ms : {0, 5, 20, 60, 120, 250, 400}) {
    const std::string speed = std::to_string(600 + revision);
    ASSERT_EQ(patch(id, R"({"set":["bench.speed_spm=)" + speed + "\"]}").status, 202);
    ++revision;
    std::this_thread::sleep_for(std::chrono::milliseconds(wait_ms));
    ASSERT_EQ(served.stop(SIGKILL), 128 + SIGKILL);
    served.start();
    ASSERT_EQ(value(id, "revision"), std::to_string(revision)) << text(id);
    EXPECT_EQ(value(id, "speed_spm"), speed + ".0");  // of settings, a JSON number
    const std::string plan = served.get("/api/jobs/" + id + "/plan.json").body;
    EXPECT_TRUE(plan.starts_with("{") && plan.find_last_not_of(" \n") != std::string::npos &&
                plan[plan.find_last_not_of(" \n")] == '}')
        << plan.size();
    EXPECT_EQ(settled(served, id), "done");
    EXPECT_EQ(value(id, "shown_revision"), std::to_string(revision));
  }
}

TEST_F(Working, ADamagedJobIsToldOfAndTheOthersAreServed) {
  const std::string good = job(), bad = job();
  settled(served, good);
  settled(served, bad);
  served.stop(SIGTERM);
  std::ofstream(folder.path() / "jobs/jobs" / bad / "job.json") << "{\"buckram_job\":1,";
  served.start();
  EXPECT_NE(served.said().find(bad), std::string::npos) << served.said();
  EXPECT_EQ(value(good, "state"), "done");
  EXPECT_EQ(served.get("/api/jobs/" + bad).status, 404);
  EXPECT_TRUE(fs::exists(folder.path() / "jobs/jobs" / bad / "plan-1/plan.json"));
}

// The disk takes nothing more when a plan is done: a folder stands where job.json is to be written.
TEST_F(Working, ADiskThatTakesNothingEndsTheRunAndNotTheServer) {
  const std::string good = job(), bad = job();
  settled(served, good);
  settled(served, bad);
  const fs::path file = folder.path() / "jobs/jobs" / bad / "job.json";
  patch(bad, R"({"set":["stitch.row_spacing_mm=0.36"]})");
  fs::remove(file);
  fs::create_directory(file);
  EXPECT_EQ(settled(served, bad), "failed");
  EXPECT_NE(text(bad).find("cannot_write"), std::string::npos);
  EXPECT_NE(served.ask("PATCH", "/api/jobs/" + bad, R"({"set":["order.caps=9"]})").status, 200);
  EXPECT_EQ(value(bad, "state"), "failed");
  EXPECT_EQ(value(good, "state"), "done");
}

TEST_F(Working, CopiesAreJobsOfTheirOwn) {
  const std::string id = job();
  ASSERT_EQ(settled(served, id), "done");
  const std::string plan = served.get("/api/jobs/" + id + "/plan.json").body;
  const Reply again = served.ask("POST", "/api/jobs", R"({"again":")" + id + "\"}");
  EXPECT_EQ(again.status, 201);
  const std::string kept = value_in(again.body, "id");
  EXPECT_EQ(value(kept, "state"), "done") << "nothing to plan";
  EXPECT_EQ(served.get("/api/jobs/" + kept + "/plan.json").body, plan);
  const std::string copy =
      value_in(served.ask("POST", "/api/jobs", R"({"copy_of":")" + id + "\"}").body, "id");
  EXPECT_EQ(settled(served, copy), "done");
  patch(copy, R"({"set":["artwork.height_mm=12"]})");
  settled(served, copy);
  EXPECT_EQ(served.get("/api/jobs/" + id + "/plan.json").body, plan);
}

TEST_F(Working, WhatIsThrownAwayComesBackWhole) {
  const std::string id = job();
  settled(served, id);
  const std::string before = text(id);
  EXPECT_EQ(value_in(served.ask("DELETE", "/api/jobs/" + id).body, "bin"), "bin/" + id);
  EXPECT_EQ(served.get("/api/jobs/" + id).status, 404);
  served.stop(SIGTERM);
  served.start();
  EXPECT_EQ(served.get("/api/jobs").body, "{\"jobs\":[]}");
  EXPECT_EQ(served.ask("POST", "/api/jobs/" + id + "/restore").status, 200);
  EXPECT_EQ(text(id), before);
  EXPECT_EQ(served.ask("POST", "/api/jobs/nobody/restore").status, 404);
}

TEST_F(Working, BreaksAreLoggedAndTakenBackAndNothingIsErased) {
  const std::string id = job();
  settled(served, id);
  const std::string at = "/api/jobs/" + id + "/breaks";
  const Reply reply = served.ask("POST", at, R"({"entry":120,"needle":4,"cap":3,"note":"\u00e9"})");
  EXPECT_EQ(reply.status, 201) << reply.body;
  const std::string event = value_in(reply.body, "event");
  EXPECT_LE(std::atoi(value_in(reply.body, "go_back_to").c_str()), 120);
  EXPECT_NE(value_in(reply.body, "words").find("every piece"), std::string::npos);
  EXPECT_NE(served.get(at).body.find(event), std::string::npos);
  EXPECT_EQ(served.ask("POST", at, R"({"entry":99999999})").status, 422);
  EXPECT_EQ(served.ask("POST", at, R"({"needle":1})").status, 422);
  EXPECT_EQ(served.ask("DELETE", at + "/" + event).status, 200);
  EXPECT_EQ(served.ask("DELETE", at + "/" + event).status, 404);
  EXPECT_EQ(served.get(at).body, "{\"breaks\":[]}");
  const std::string log = folder.get("jobs/jobs/" + id + "/log.jsonl");
  EXPECT_EQ(std::count(log.begin(), log.end(), '\n'), 2) << log;

  // Its answer was lost on the way, and it is sent again; then it is taken back, and sent once
  // more.
  const std::string told =
      R"({"event":"ab12","at":"2026-11-30T07:21:06.5Z","revision":1,"entry":100})";
  EXPECT_EQ(served.ask("POST", at, told).status, 201);
  EXPECT_EQ(served.ask("POST", at, told).status, 201);
  const std::string one = served.get(at).body;
  EXPECT_EQ(one.find("ab12"), one.rfind("ab12"));
  EXPECT_NE(one.find("2026-11-30T07:21:06.5Z"), std::string::npos);
  EXPECT_EQ(served.ask("DELETE", at + "/ab12").status, 200);
  EXPECT_EQ(served.ask("POST", at, told).status, 201);
  EXPECT_EQ(served.get(at).body, "{\"breaks\":[]}");
  EXPECT_EQ(served.ask("POST", at, R"({"revision":77,"entry":100})").status, 409);

  const std::string ticks = "/api/jobs/" + id + "/ticks";
  EXPECT_EQ(served.get(ticks).body, R"({"ticks":{}})");
  served.ask("PUT", ticks, R"({"ticks":{"Plate: as it is":true,"Foot: 3 mm":false}})");
  EXPECT_EQ(served.get(ticks).body, R"({"ticks":{"Plate: as it is":true}})");
}

TEST_F(Working, TheGroundFollowsAReadingAndKeepsNothing) {
  const Reply bare = served.ask("POST", "/api/ground", "{}");
  EXPECT_EQ(bare.status, 200);
  const Reply read =
      served.ask("POST", "/api/ground", R"({"set":["gap=[{x_mm=0,y_mm=18,gap_mm=4.5}]"]})");
  EXPECT_NE(bare.body, read.body);
  EXPECT_NE(read.body.find("\"gap_mm\":4.5"), std::string::npos);
  EXPECT_EQ(
      served.ask("POST", "/api/ground", R"({"set":["gap=[{x_mm=0,y_mm=18,gap_mm=22}]"]})").status,
      422);
}

TEST_F(Working, OffersAreTheCommandLinesOwn) {
  const std::string artwork = upload(served);
  const Reply reply =
      served.ask("POST", "/api/offers",
                 R"({"artwork":")" + artwork +
                     R"(","set":["artwork.height_mm=15"],"caps":["six-panel-soft-low"]})");
  EXPECT_EQ(reply.status, 200);
  const fs::path kept = folder.path() / "jobs/artwork" / artwork / "mark.svg";
  EXPECT_EQ(reply.body,
            run("offer '" + kept.string() + "' --height 15 --caps-from six-panel-soft-low --json"));
}

TEST_F(Working, TheBestChangesAreMadeAndCanBeTakenBack) {
  // A careless bench: there is something to better.
  const std::string id = job(
      R"("artwork.height_mm=45","bench.speed_spm=1200","bench.tautness=0.1","bench.foot_mm=6")");
  ASSERT_EQ(settled(served, id), "done");
  const std::string plan = served.get("/api/jobs/" + id + "/plan.json").body;
  EXPECT_EQ(served.ask("POST", "/api/jobs/" + id + "/improve").status, 202);
  ASSERT_EQ(settled(served, id, 300), "done");
  EXPECT_EQ(value(id, "undo"), "Best changes made");
  const std::string improved = served.get("/api/jobs/" + id + "/plan.json").body;
  EXPECT_NE(improved, plan);
  // The settings that were found make the same stitches without another search.
  served.ask("POST", "/api/jobs/" + id + "/undo");
  settled(served, id);
  EXPECT_EQ(served.get("/api/jobs/" + id + "/plan.json").body, plan);
  served.ask("POST", "/api/jobs/" + id + "/redo");
  settled(served, id);
  const std::string again = served.get("/api/jobs/" + id + "/plan.json").body;
  EXPECT_EQ(again.substr(again.find("\"stitches\"")),
            improved.substr(improved.find("\"stitches\"")));
}

}  // namespace
}  // namespace buckram::server
