// Puts written files in place of older ones, all or none. Not part of the door: write_files()
// uses it, and its tests hand in a disk that fails.
#pragma once

#include <filesystem>
#include <functional>
#include <system_error>
#include <vector>

namespace buckram::base {

struct Placement {
  std::filesystem::path part;   // written in full, beside the place; empty: the place is cleared
  std::filesystem::path place;  // what it shall be called
  std::filesystem::path aside;  // free name beside it, for what stands there until all is done
};

// Renames a file, as rename(2) does: what has the new name is replaced in one step.
using RenameFile = std::function<std::error_code(const std::filesystem::path& from,
                                                 const std::filesystem::path& to)>;

struct Placed {
  std::error_code trouble;  // none: every file is in place
  std::size_t failed = 0;   // which one was not
};

// Law: without trouble every place holds its part and nothing is left aside; with trouble every
// place holds what it held before (unless the disk refuses to undo what it did), and the parts
// that were not placed remain for the caller to remove.
Placed put_in_place(const std::vector<Placement>& all, const RenameFile& rename_file);

}  // namespace buckram::base
