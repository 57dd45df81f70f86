// Files in and out. Outputs are written beside their place and renamed, all or none.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace buckram::base {

// The whole file. Throws Error{cannot_read}: missing, a folder, not readable, over `max_bytes`.
std::string read_file(const std::string& path, std::uint64_t max_bytes);

struct OutputFile {
  std::string path;  // absolute, or relative to the working folder
  std::string bytes;
};

// Writes all files or none: each is written in full under a temporary name in its own folder, and
// only when the last is on disk are they renamed. Missing folders are made (and unmade on
// failure). Throws Error{cannot_write} naming the file, with earlier contents untouched.
void write_files(const std::vector<OutputFile>& files);

}  // namespace buckram::base
