// What stands before and after the records: numbers that follow from them, and bytes that do not.
#pragma once

#include "machine/fields.h"

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace buckram::machine {

struct LearntParts {
  std::vector<Part> parts;
  std::vector<std::string> found, asked;  // in words
};

// The parts of which every region (one a file, all of one length) is made. A field is the widest
// run of bytes that is one way of writing one quantity in every file, where that quantity differs
// between files; bytes that differ and are no field become a free part, as in the first file, and
// are asked for. `first` is the regions' place in the first file, for words. O(bytes).
LearntParts learn_parts(const std::vector<std::string_view>& regions,
                        const std::vector<Tally>& tallies, std::size_t first);

}  // namespace buckram::machine
