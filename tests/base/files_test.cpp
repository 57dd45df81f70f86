#include "base/files.h"

#include "base/error.h"
#include "base/placing.h"

#include <gtest/gtest.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>

namespace buckram::base {
namespace {

namespace fs = std::filesystem;

class Files : public testing::Test {
 protected:
  void SetUp() override {
    std::string pattern = (fs::temp_directory_path() / "buckram-files-XXXXXX").string();
    ASSERT_NE(mkdtemp(pattern.data()), nullptr);
    folder = pattern;
  }
  void TearDown() override { fs::remove_all(folder); }
  std::string in(const std::string& name) const { return (folder / name).string(); }
  std::size_t n_entries() const {
    std::size_t n = 0;
    for (const auto& entry : fs::recursive_directory_iterator(folder)) {
      static_cast<void>(entry);
      ++n;
    }
    return n;
  }
  fs::path folder;
};

TEST_F(Files, WhatIsWrittenIsReadBack) {
  const std::string bytes("a\0b\r\n\xff", 6);
  write_files({{in("one"), bytes}, {in("new/deep/two"), ""}});
  EXPECT_EQ(read_file(in("one"), 100), bytes);
  EXPECT_EQ(read_file(in("new/deep/two"), 100), "");
}

TEST_F(Files, AllOrNone) {
  write_files({{in("kept"), "before"}});
  fs::create_directory(folder / "taken");
  EXPECT_THROW(
      write_files({{in("kept"), "after"}, {in("made/x"), "x"}, {in("taken"), "a folder's name"}}),
      Error);
  EXPECT_EQ(read_file(in("kept"), 100), "before");
  EXPECT_EQ(n_entries(), 2U);  // kept, taken: no folder, no part left behind
}

TEST_F(Files, AFullDiskLeavesNothing) {
  // /dev/full answers every write with "no space left on device".
  if (!fs::exists("/dev/full")) GTEST_SKIP() << "no /dev/full here";
  fs::create_symlink("/dev/full", folder / ("." + std::to_string(getpid()) + "-1.part"));
  try {
    write_files({{in("one"), "x"}, {in("out"), std::string(100'000, 'x')}});
    FAIL() << "a full disk must be said";
  } catch (const Error& error) {
    EXPECT_EQ(error.code, ErrorCode::cannot_write);
    EXPECT_NE(error.what.find("No space left"), std::string::npos) << error.what;
  }
  EXPECT_EQ(n_entries(), 0U);
}

TEST_F(Files, NamesTooLongForTheDiskAreSaid) {
  const std::string long_name(300, 'n');
  std::string deep = folder.string();
  for (int i = 0; i < 30; ++i) deep += '/' + std::string(200, 'd');
  for (const std::string& path : {in(long_name), in(long_name + "/file"), deep + "/file", deep}) {
    try {
      write_files({{in("kept"), "x"}, {path, "y"}});
      ADD_FAILURE() << path;
    } catch (const Error& error) {
      EXPECT_EQ(error.code, ErrorCode::cannot_write);
      EXPECT_NE(error.what.find("name too long"), std::string::npos) << error.what;
    }
    EXPECT_EQ(n_entries(), 0U);
    EXPECT_THROW(read_file(path, 100), Error);
  }
  write_files({{in(std::string(255, 'n')), "the longest name there is"}});
  EXPECT_EQ(n_entries(), 1U);
}

TEST_F(Files, WhatIsGoneIsRemovedWithTheWriting) {
  write_files({{in("plan"), "old"}, {in("verdict"), "old"}});
  write_files({{in("plan"), "", true}, {in("verdict"), "new"}, {in("never"), "", true}});
  EXPECT_EQ(read_file(in("verdict"), 100), "new");
  EXPECT_EQ(n_entries(), 1U);
  fs::create_directory(folder / "taken");
  EXPECT_THROW(write_files({{in("verdict"), "", true}, {in("taken"), "x"}}), Error);
  EXPECT_EQ(read_file(in("verdict"), 100), "new");
}

TEST_F(Files, LinksAreWrittenThroughAndDevicesStayDevices) {
  write_files({{in("real"), "before"}});
  fs::create_symlink(folder / "real", folder / "link");
  write_files({{in("link"), "after"}});
  EXPECT_TRUE(fs::is_symlink(folder / "link"));
  EXPECT_EQ(read_file(in("real"), 100), "after");
  fs::create_symlink("/dev/null", folder / "null");
  write_files({{in("null"), "nobody reads this"}});
  EXPECT_TRUE(fs::is_character_file("/dev/null"));
  fs::create_symlink(folder / "nowhere", folder / "dangling");
  EXPECT_THROW(write_files({{in("dangling"), "x"}}), Error);
  EXPECT_EQ(n_entries(), 4U);
}

// A disk on which one renaming fails, each in turn: every place holds what it held before.
TEST_F(Files, WhicheverRenamingFailsTheOldFilesStay) {
  const auto parts = [&] {
    std::vector<Placement> all;
    for (const char* name : {"one", "two", "three", "four"}) {
      all.push_back({in(std::string(name) + ".part"), in(name), in(std::string(name) + ".old")});
    }
    all[2].part.clear();  // to be removed
    return all;
  };
  const auto prepare = [&] {
    fs::remove_all(folder);
    fs::create_directory(folder);
    write_files({{in("one"), "1"},
                 {in("three"), "3"},
                 {in("four"), "4"},  // "two" is new
                 {in("one.part"), "new"},
                 {in("two.part"), "new"},
                 {in("four.part"), "new"}});
  };
  int n_failed = 0;
  for (int failing = 0;; ++failing) {
    SCOPED_TRACE(failing);
    prepare();
    int n_calls = 0;
    const Placed placed = put_in_place(parts(), [&](const fs::path& from, const fs::path& to) {
      if (n_calls++ == failing) return std::make_error_code(std::errc::io_error);
      std::error_code trouble;
      fs::rename(from, to, trouble);
      return trouble;
    });
    if (!placed.trouble) {
      EXPECT_LE(n_calls, failing);
      break;
    }
    ++n_failed;
    EXPECT_EQ(read_file(in("one"), 100), "1");
    EXPECT_FALSE(fs::exists(folder / "two"));
    EXPECT_EQ(read_file(in("three"), 100), "3");
    EXPECT_EQ(read_file(in("four"), 100), "4");
    for (const Placement& each : parts()) EXPECT_FALSE(fs::exists(each.aside)) << each.aside;
  }
  EXPECT_EQ(n_failed, 3);
  EXPECT_EQ(read_file(in("one"), 100) + read_file(in("two"), 100) + read_file(in("four"), 100),
            "newnewnew");
  EXPECT_EQ(n_entries(), 3U);  // nothing aside, "three" is gone
}

TEST_F(Files, MissingFolderAndTooLargeAreSaid) {
  const auto code = [](const std::string& path) {
    try {
      read_file(path, 10);
    } catch (const Error& error) {
      EXPECT_EQ(error.where, path);
      EXPECT_FALSE(error.hint.empty());
      return error.code;
    }
    return ErrorCode::count_;
  };
  EXPECT_EQ(code(in("missing")), ErrorCode::cannot_read);
  EXPECT_EQ(code(folder.string()), ErrorCode::cannot_read);
  write_files({{in("large"), "12345678901"}});
  EXPECT_EQ(code(in("large")), ErrorCode::cannot_read);
}

}  // namespace
}  // namespace buckram::base
