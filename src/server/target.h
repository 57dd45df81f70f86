// The target of a request: the path in pieces and the query, decoded.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace buckram::server {

struct Target {
  std::vector<std::string> path;  // "/api/jobs" is {"api", "jobs"}; "/" is empty
  std::vector<std::pair<std::string, std::string>> query;
};

// Longest target that is read, bytes.
inline constexpr std::size_t kLongestTarget = 2048;

// Origin form only (RFC 9112, section 3.2.1), percent-encoding decoded once. Nothing for a target
// that is too long, is not UTF-8, holds a broken escape or a control character, or whose path has a
// piece that is empty, "." or "..", or holds a slash or backslash once decoded.
std::optional<Target> read_target(std::string_view text);

// The first value of that name in the query.
std::optional<std::string> query_of(const Target& target, std::string_view name);

}  // namespace buckram::server
