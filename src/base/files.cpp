#include "base/files.h"

#include "base/error.h"
#include "base/placing.h"

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

bool is_there(const fs::path& path) {
  std::error_code trouble;
  const fs::file_status status = fs::status(path, trouble);
  if (trouble && status.type() == fs::file_type::none) fail_write(path.string(), trouble.message());
  return fs::exists(status);
}

// Folders that did not exist before `folder` was wanted, innermost last; `made` grows as they are.
void make_folders(const fs::path& folder, std::vector<fs::path>& made) {
  std::vector<fs::path> missing;
  for (fs::path each = folder; !each.empty() && !is_there(each); each = each.parent_path()) {
    missing.push_back(each);
  }
  for (auto each = missing.rbegin(); each != missing.rend(); ++each) {
    std::error_code trouble;
    if (fs::create_directory(*each, trouble)) made.push_back(*each);
    if (trouble) fail_write(each->string(), trouble.message());
  }
}

void write_whole(const std::string& path, const std::string& bytes, const std::string& name) {
  std::FILE* file = std::fopen(path.c_str(), "wb");
  if (file == nullptr) fail_write(name, std::strerror(errno));
  int trouble = 0;
  if (std::fwrite(bytes.data(), 1, bytes.size(), file) != bytes.size()) trouble = errno;
  if (std::fclose(file) != 0 && trouble == 0) trouble = errno;
  if (trouble != 0) fail_write(name, std::strerror(trouble));
}

std::error_code rename_on_disk(const fs::path& from, const fs::path& to) {
  std::error_code trouble;
  fs::rename(from, to, trouble);
  return trouble;
}

// The file that the path stands for, links followed.
fs::path place_of(const std::string& path) {
  std::error_code trouble;
  const fs::path place = fs::absolute(path, trouble);
  if (trouble) fail_write(path, trouble.message());
  if (!fs::is_symlink(fs::symlink_status(place, trouble))) return place;
  const fs::path end = fs::canonical(place, trouble);
  if (trouble) fail_write(path, "a link of that name leads nowhere");
  return end;
}

// Files being written: what is on disk so far, to be taken back unless all goes well.
struct Writing {
  std::vector<fs::path> made;  // folders
  std::vector<Placement> parts;
  std::vector<const OutputFile*> of_part;
  std::vector<const OutputFile*> devices;

  // Short names, so that any name that the disk takes can be written.
  fs::path beside(const fs::path& place, const char* what) const {
    return place.parent_path() / fmt::format(".{}-{}.{}", ::getpid(), parts.size(), what);
  }

  void write_part(const OutputFile& file) {
    const fs::path place = place_of(file.path);
    if (file.path.empty() || !place.has_filename()) fail_write(file.path, "names no file");
    std::error_code trouble;
    const fs::file_status status = fs::status(place, trouble);
    if (file.is_gone && !fs::exists(status)) return;
    if (fs::is_directory(status)) fail_write(file.path, "a folder has that name");
    if (fs::exists(status) && !fs::is_regular_file(status)) {
      if (!file.is_gone) devices.push_back(&file);
      return;
    }
    make_folders(place.parent_path(), made);
    parts.push_back(
        {file.is_gone ? fs::path() : beside(place, "part"), place, beside(place, "old")});
    of_part.push_back(&file);
    if (!file.is_gone) write_whole(parts.back().part.string(), file.bytes, file.path);
  }

  void place_all() const {
    for (const OutputFile* file : devices) write_whole(file->path, file->bytes, file->path);
    const Placed placed = put_in_place(parts, rename_on_disk);
    if (placed.trouble) fail_write(of_part[placed.failed]->path, placed.trouble.message());
  }

  void take_back() const {
    std::error_code ignored;
    for (const Placement& each : parts) {
      if (!each.part.empty()) fs::remove(each.part, ignored);
    }
    for (auto it = made.rbegin(); it != made.rend(); ++it) fs::remove(*it, ignored);
  }
};

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
           "Give a smaller file");
    }
  }
  return bytes;
}

void write_files(const std::vector<OutputFile>& files) {
  Writing writing;
  try {
    for (const OutputFile& file : files) writing.write_part(file);
    writing.place_all();
  } catch (...) {
    writing.take_back();
    throw;
  }
}

}  // namespace buckram::base
