// The shipped layouts, for fuzzers: read from the tree, wherever the fuzzer is started.
#pragma once

#include "base/base.h"
#include "machine/machine.h"

#include <string>
#include <vector>

namespace buckram::machine {

inline std::vector<Layout> shipped_layouts() {
  std::vector<Layout> all;
  for (const char* name : {"harbour-tally", "lantern-row", "buoy-lengths", "pilot-signal"}) {
    const std::string path = std::string(BUCKRAM_ROOT) + "/data/layouts/" + name + ".toml";
    all.push_back(read_layout(base::read_file(path, 1'000'000), name));
  }
  return all;
}

}  // namespace buckram::machine
