// The shipped layouts, and plans drawn at random that they can hold.
#pragma once

#include "base/base.h"
#include "machine/machine.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <string>
#include <vector>

namespace buckram::machine {

inline constexpr std::array kShipped{"harbour-tally", "lantern-row", "buoy-lengths",
                                     "pilot-signal"};

inline std::string shipped_text(const std::string& name) {
  return base::read_file(std::string(BUCKRAM_ROOT) + "/data/layouts/" + name + ".toml", 1'000'000);
}

inline Layout shipped(const std::string& name) {
  return read_layout(shipped_text(name), name);
}

inline bool does(const Layout& layout, stitch::Op op) {
  return std::any_of(layout.operations.begin(), layout.operations.end(),
                     [op](const Operation& each) { return each.does == op; });
}

inline cap::Setup flat_setup() {
  cap::Setup setup;
  setup.mount.kind = cap::MountKind::flat;
  setup.mount.field = {-500, -500, 500, 500};
  setup.mount.origin = {0, 0};
  setup.bench.turn_deg = 0;
  return setup;
}

}  // namespace buckram::machine
