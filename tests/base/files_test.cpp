#include "base/files.h"

#include "base/error.h"

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
  fs::create_symlink("/dev/full", folder / ("out." + std::to_string(getpid()) + ".part"));
  try {
    write_files({{in("out"), std::string(100'000, 'x')}});
    FAIL() << "a full disk must be said";
  } catch (const Error& error) {
    EXPECT_EQ(error.code, ErrorCode::cannot_write);
    EXPECT_NE(error.what.find("No space left"), std::string::npos) << error.what;
  }
  EXPECT_EQ(n_entries(), 0U);
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
