// The openly licensed picture sets that tests read (tests/corpus/package.json), and a seeded
// sample of each.
#pragma once

#include "base/base.h"

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <set>
#include <string>
#include <utility>
#include <vector>

namespace buckram::tests {

struct PictureSet {
  std::string name;
  std::string folder;  // under BUCKRAM_ROOT "/build/corpus/node_modules/"
};

inline const std::vector<PictureSet>& picture_sets() {
  static const std::vector<PictureSet> kSets = {{"twemoji", "@twemoji/svg"},
                                                {"fluentui-flat", "fluentui-emoji/icons/flat"},
                                                {"openmoji", "openmoji/color/svg"}};
  return kSets;
}

inline std::string read_all(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

// Hex codes of the entries that the set marks as brands; they are left out.
inline std::set<std::string> brand_codes(const std::filesystem::path& root) {
  std::set<std::string> codes;
  const std::string json = read_all(root / "openmoji/data/openmoji.json");
  for (std::size_t at = json.find("\"hexcode\""); at != std::string::npos;) {
    const std::size_t next = json.find("\"hexcode\"", at + 1);
    const std::string entry = json.substr(at, next == std::string::npos ? next : next - at);
    const std::size_t open = entry.find('"', entry.find(':')) + 1;
    if (entry.find("\"subgroups\": \"brand\"") != std::string::npos)
      codes.insert(entry.substr(open, entry.find('"', open) - open));
    at = next;
  }
  return codes;
}

// `n` files of the set, the same ones for the same seed; empty when the set is not installed.
inline std::vector<std::filesystem::path> sample(const PictureSet& set, int n, std::uint64_t seed) {
  const std::filesystem::path root = BUCKRAM_ROOT "/build/corpus/node_modules";
  std::vector<std::filesystem::path> files;
  if (!std::filesystem::exists(root / set.folder)) return files;
  const auto brands = set.name == "openmoji" ? brand_codes(root) : std::set<std::string>();
  for (const auto& entry : std::filesystem::directory_iterator(root / set.folder))
    if (entry.path().extension() == ".svg" && !brands.contains(entry.path().stem().string()))
      files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  base::Random random(seed);
  for (std::size_t i = files.size(); i > 1; --i)
    std::swap(files[i - 1], files[static_cast<std::size_t>(random.below(static_cast<int>(i)))]);
  files.resize(std::min(files.size(), static_cast<std::size_t>(n)));
  return files;
}

}  // namespace buckram::tests
