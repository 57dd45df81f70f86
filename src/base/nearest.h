// "Did you mean": the known name that is closest to one that is not known.
#pragma once

#include <span>
#include <string>
#include <string_view>

namespace buckram::base {

// The candidate with the least edit distance to `name` (insert, delete, replace, swap of
// neighbours, each 1), or empty when none is within half of the name's length plus one.
std::string nearest_name(std::string_view name, std::span<const std::string> candidates);

}  // namespace buckram::base
