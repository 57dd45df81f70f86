// Any bytes as a file of a shipped layout, which the first byte chooses: refused with an error, or
// steps that are written and read again as they were, and a plan of good form.
#include "shipped_layouts.h"

#include "base/base.h"
#include "machine/machine.h"

#include <array>
#include <cstdint>
#include <filesystem>
#include <string_view>
#include <vector>

namespace {

using namespace buckram;

void read(const machine::Layout& layout, std::string_view bytes) {
  const std::vector<machine::Step> steps = machine::read_steps(layout, bytes, "fuzz").decoded.steps;
  machine::describe_file(layout, bytes, "fuzz");
  std::string again;
  try {
    again = machine::write_steps(layout, steps);
  } catch (const base::Error&) {
    return;  // counts too wide for the fields
  }
  BUCKRAM_ASSERT(machine::read_steps(layout, again, "again").decoded.steps == steps);
  cap::Setup setup;
  setup.mount.kind = cap::MountKind::flat;
  const machine::MachineMap map(setup);
  const machine::LayoutPlan plan = machine::read_with(layout, bytes, "fuzz", map);
  stitch::check_form(plan.plan);
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const std::vector<machine::Layout> layouts = machine::shipped_layouts();
  if (size == 0) return 0;
  try {
    read(layouts[data[0] % layouts.size()], {reinterpret_cast<const char*>(data) + 1, size - 1});
  } catch (const base::Error&) {
    return 0;  // bad input, said clearly
  }
  return 0;
}
