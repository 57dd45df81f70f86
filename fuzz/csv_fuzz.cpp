// Any bytes as stitches.csv: refused with an error, or a plan of good form that is written, read
// again without a refusal, and has the same ops and points.
#include "base/base.h"
#include "machine/machine.h"

#include <cstdint>
#include <optional>
#include <string_view>

namespace {

using namespace buckram;

std::optional<stitch::Plan> plan_in(std::string_view text) {
  try {
    return machine::read_csv(text, "fuzz");
  } catch (const base::Error&) {
    return std::nullopt;  // bad input, said clearly
  }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto plan = plan_in({reinterpret_cast<const char*>(data), size});
  if (!plan) return 0;
  stitch::check_form(*plan);
  const stitch::Plan again = machine::read_csv(machine::write_csv(*plan, {}), "again");
  BUCKRAM_ASSERT(again.op == plan->op && again.x == plan->x && again.y == plan->y);
  return 0;
}
