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
  bool is_gone = false;  // no file of that name is to be left; `bytes` is not used
};

// Writes and removes all files or none: each is written in full under a temporary name in its own
// folder, and only when the last is on disk are they put in place; what stood there before is kept
// until all are, and put back when one fails. Missing folders are made (and unmade on failure). A
// name that is a link writes the file it leads to; devices and pipes are written as they are.
// Throws Error{cannot_write} naming the file, with earlier contents untouched.
void write_files(const std::vector<OutputFile>& files);

}  // namespace buckram::base
