// Any bytes as a layout: refused with an error, or a layout without faults whose steps come back,
// which is the same when written and read again.
#include "base/base.h"
#include "machine/machine.h"

#include <cstdint>
#include <optional>
#include <string_view>

namespace {

using namespace buckram;

std::optional<machine::Layout> layout_in(std::string_view text) {
  try {
    return machine::read_layout(text, "fuzz");
  } catch (const base::Error&) {
    return std::nullopt;  // bad input, said clearly
  }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto layout = layout_in({reinterpret_cast<const char*>(data), size});
  if (!layout) return 0;
  BUCKRAM_ASSERT(machine::faults_of(*layout).empty());
  BUCKRAM_ASSERT(machine::first_not_returned(*layout).empty());
  BUCKRAM_ASSERT(machine::read_layout(machine::write_layout(*layout), "again") == *layout);
  machine::describe_layout(*layout);
  return 0;
}
