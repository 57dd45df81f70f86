#include "base/nearest.h"

#include <algorithm>
#include <cstddef>
#include <vector>

namespace buckram::base {
namespace {

// Optimal string alignment distance, by rows.
std::size_t edit_distance(std::string_view a, std::string_view b) {
  std::vector<std::size_t> before(b.size() + 1), above(b.size() + 1), row(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) above[j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      row[j] = std::min({above[j] + 1, row[j - 1] + 1,
                         above[j - 1] + static_cast<std::size_t>(a[i - 1] != b[j - 1])});
      const bool swapped = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
      if (swapped) row[j] = std::min(row[j], before[j - 2] + 1);
    }
    std::swap(before, above);
    std::swap(above, row);
  }
  return above[b.size()];
}

}  // namespace

std::string nearest_name(std::string_view name, std::span<const std::string> candidates) {
  std::string best;
  std::size_t least = name.size() / 2 + 2;
  for (const std::string& candidate : candidates) {
    const std::size_t d = edit_distance(name, candidate);
    if (d < least) {
      least = d;
      best = candidate;
    }
  }
  return best;
}

}  // namespace buckram::base
