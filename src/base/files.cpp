#include "base/files.h"

#include "base/error.h"

#include <fmt/format.h>

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <system_error>
#include <unistd.h>

namespace buckram::base {
namespace fs = std::filesystem;
namespace {

[[noreturn]] void fail_write(const std::string& path, const std::string& why) {
  throw Error{ErrorCode::cannot_write, "cannot write: " + why, path,
              "Nothing was changed. Choose a folder you may write to, with room on its disk"};
}

// Folders that did not exist before `path` was wanted, innermost last.
std::vector<fs::path> make_folders(const fs::path& folder) {
  std::vector<fs::path> made;
  fs::path missing = folder;
  while (!missing.empty() && !fs::exists(missing)) {
    made.insert(made.begin(), missing);
    missing = missing.parent_path();
  }
  for (const fs::path& each : made) {
    std::error_code trouble;
    fs::create_directory(each, trouble);
    if (trouble) fail_write(each.string(), trouble.message());
  }
  return made;
}

void write_whole(const std::string& path, const std::string& bytes) {
  std::FILE* file = std::fopen(path.c_str(), "wb");
  if (file == nullptr) fail_write(path, std::strerror(errno));
  bool good = std::fwrite(bytes.data(), 1, bytes.size(), file) == bytes.size();
  good = std::fflush(file) == 0 && good;
  const int trouble = errno;
  good = std::fclose(file) == 0 && good;
  if (!good) fail_write(path, std::strerror(trouble));
}

}  // namespace

std::string read_file(const std::string& path, std::uint64_t max_bytes) {
  const auto fail = [&](const std::string& why, const std::string& hint) {
    throw Error{ErrorCode::cannot_read, why, path, hint};
  };
  std::error_code trouble;
  const fs::file_status status = fs::status(path, trouble);
  if (!fs::exists(status)) fail("no such file", "Check the path and its spelling");
  if (fs::is_directory(status)) fail("is a folder, not a file", "Name the file inside it");
  std::ifstream in(path, std::ios::binary);
  if (!in) fail(std::string("cannot be opened: ") + std::strerror(errno), "Check its permissions");
  std::string bytes;
  char buffer[1 << 16];
  while (in.read(buffer, sizeof buffer) || in.gcount() > 0) {
    bytes.append(buffer, static_cast<std::size_t>(in.gcount()));
    if (bytes.size() > max_bytes) {
      fail(fmt::format("is larger than {} MB", max_bytes / 1'000'000),
           "Save it without embedded pictures, or in a smaller size");
    }
  }
  return bytes;
}

void write_files(const std::vector<OutputFile>& files) {
  std::vector<fs::path> made;
  std::vector<std::string> written;
  try {
    for (const OutputFile& file : files) {
      const fs::path folder = fs::absolute(file.path).parent_path();
      const std::vector<fs::path> fresh = make_folders(folder);
      made.insert(made.end(), fresh.begin(), fresh.end());
      if (fs::is_directory(file.path)) fail_write(file.path, "a folder has that name");
      const std::string beside = fmt::format("{}.{}.part", file.path, ::getpid());
      written.push_back(beside);
      write_whole(beside, file.bytes);
    }
    for (std::size_t i = 0; i < files.size(); ++i) {
      std::error_code trouble;
      fs::rename(written[i], files[i].path, trouble);
      if (trouble) fail_write(files[i].path, trouble.message());
    }
  } catch (...) {
    std::error_code ignored;
    for (const std::string& beside : written) fs::remove(beside, ignored);
    for (auto it = made.rbegin(); it != made.rend(); ++it) fs::remove(*it, ignored);
    throw;
  }
}

}  // namespace buckram::base
