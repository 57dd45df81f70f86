#include "server/program.h"
#include "server/store.h"

#include <gtest/gtest.h>

#include <fstream>

namespace buckram::server {
namespace {

Record record(const std::string& id) {
  Record r;
  r.id = id;
  r.steps = {{}};
  return r;
}

TEST(Store, NamesOfArtworkKeepTheirLastPieceOnly) {
  EXPECT_EQ(clean_name("crest.svg"), "crest.svg");
  EXPECT_EQ(clean_name("/etc/cron.d/crest.svg"), "crest.svg");
  EXPECT_EQ(clean_name("C:\\logos\\crest.svg"), "crest.svg");
  EXPECT_EQ(clean_name("../../.crest.svg"), "crest.svg");
  EXPECT_EQ(clean_name("cr\nest\x7f.svg"), "crest.svg");
  EXPECT_EQ(clean_name("Möwe.svg"), "Möwe.svg");
  EXPECT_EQ(clean_name("cr\xffst.svg"), "crst.svg");
  EXPECT_EQ(clean_name(".."), "");
  const std::string cut = clean_name(std::string(300, 'a') + ".svg");
  EXPECT_LE(cut.size(), 100U);
  EXPECT_TRUE(cut.ends_with(".svg"));
  EXPECT_TRUE(base::is_utf8(clean_name(std::string(99, 'a') + "ööö.svg")));
}

TEST(Store, ArtworkIsKeptOnceByContentAndName) {
  const Folder folder;
  const Store store((folder.path() / "jobs").string());
  const KeptArtwork one = store.keep_artwork("crest.svg", "<svg/>");
  EXPECT_EQ(store.keep_artwork("/x/crest.svg", "<svg/>").id, one.id);
  EXPECT_NE(store.keep_artwork("crest.svg", "<svg />").id, one.id);
  EXPECT_NE(store.keep_artwork("badge.svg", "<svg/>").id, one.id);
  EXPECT_EQ(store.find_artwork(one.id)->name, "crest.svg");
  EXPECT_FALSE(store.find_artwork("../jobs"));
  EXPECT_THROW(store.keep_artwork("crest.exe", "x"), base::Error);
}

// A run that was killed at any point: before its folder was whole, before it was renamed, before
// job.json spoke of it.
TEST(Store, WhatWasLeftHalfWrittenIsClearedAway) {
  const Folder folder;
  const std::string at = (folder.path() / "jobs").string();
  {
    const Store store(at);
    Record r = record("crest-1");
    store.save(r);
    store.prepare(r.id, 1, {{"plan.json", "{}"}});
    store.publish(r.id, 1);
    r.shown = 1;
    store.save(r);
    store.prepare(r.id, 2, {{"plan.json", "{}"}});
    store.publish(r.id, 2);  // killed before save
    store.prepare(r.id, 3, {{"plan.json", "{}"}});
  }
  Store store(at);
  const Store::Opened opened = store.open_jobs();
  ASSERT_EQ(opened.records.size(), 1U);
  EXPECT_EQ(opened.records[0].shown, 1);
  EXPECT_TRUE(store.plan_file("crest-1", 1, "plan.json"));
  EXPECT_FALSE(fs::exists(store.plan_folder("crest-1", 2)));
  EXPECT_FALSE(fs::exists(fs::path(at) / "making"));
}

// The power fails: the name of a file is on the disk, what is in it is not.
TEST(Store, APlanThatIsNotWholeIsPlannedAgain) {
  const Folder folder;
  const std::string at = (folder.path() / "jobs").string();
  {
    const Store store(at);
    Record r = record("crest-1");
    store.save(r);
    for (const int revision : {1, 2}) {
      store.prepare(r.id, revision, {{"plan.json", "{}"}, {"verdict.json", "{}"}});
      store.publish(r.id, revision);
    }
    r.revision = r.shown = 2;
    r.before = 1;
    r.state = State::done;
    store.save(r);
    fs::resize_file(fs::path(store.plan_folder(r.id, 2)) / "plan.json", 0);
  }
  Store store(at);
  const Store::Opened opened = store.open_jobs();
  ASSERT_EQ(opened.records.size(), 1U);
  EXPECT_EQ(opened.records[0].shown, 1) << "what was shown before";
  EXPECT_EQ(opened.records[0].state, State::planning);
  EXPECT_EQ(opened.records[0].revision, 2);
}

TEST(Store, ALineOfTheLogThatIsCutShortDoesNotSwallowTheNext) {
  const Folder folder;
  const Store store((folder.path() / "jobs").string());
  store.save(record("crest-1"));
  store.add_to_log("crest-1", "one");
  const fs::path log = folder.path() / "jobs/jobs/crest-1/log.jsonl";
  std::ofstream(log, std::ios::app) << "tw";  // the disk was full
  store.add_to_log("crest-1", "three");
  EXPECT_EQ(store.read_log("crest-1"), "one\ntw\nthree\n");
}

TEST(Store, ItsFolderIsItsOwnersAlone) {
  const Folder folder;
  const fs::path at = folder.path() / "orders";
  const Store store(at.string());
  EXPECT_EQ(fs::status(at).permissions() & fs::perms::mask, fs::perms::owner_all);
}

TEST(Store, TwoServersDoNotShareAFolder) {
  const Folder folder;
  const Store store(folder.path().string());
  EXPECT_THROW(Store(folder.path().string()), base::Error);
}

TEST(Store, IdsTellTheTitleAndNeverMeet) {
  EXPECT_TRUE(new_id("Keld Harbour crest!").starts_with("keld-harbour-crest-"));
  EXPECT_TRUE(new_id("\u00e9\u00e9").starts_with("job-"));
  EXPECT_TRUE(is_id(new_id(std::string(500, 'x') + "/../")));
  EXPECT_NE(new_id("a"), new_id("a"));
}

}  // namespace
}  // namespace buckram::server
