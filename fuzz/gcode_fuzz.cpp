// Any bytes as G-code: refused with an error, or a plan of good form that is written, read again
// without a refusal, and has the same ops.
#include "base/base.h"
#include "machine/machine.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <optional>
#include <string_view>

namespace {

using namespace buckram;

std::optional<stitch::Plan> plan_in(std::string_view text, const cap::Setup& setup) {
  try {
    return machine::read_gcode(text, "fuzz", setup);
  } catch (const base::Error&) {
    return std::nullopt;  // bad input, said clearly
  }
}

// Within the reader's 2000 mm with room for rounding, which the top of the crown magnifies.
bool can_be_read_again(const stitch::Plan& plan, const cap::Setup& setup) {
  const machine::MachineMap map(setup);
  for (int i = 0; i < plan.size(); ++i) {
    const geometry::Point at = map.to_machine(plan.at(i));
    if (std::max(std::abs(at.x), std::abs(at.y)) > 1999) return false;
  }
  return true;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const cap::Setup setup = [] {
    cap::Setup made;
    made.mount.field = {-110, 4, 110, 80};
    return made;
  }();
  const auto plan = plan_in({reinterpret_cast<const char*>(data), size}, setup);
  if (!plan) return 0;
  stitch::check_form(*plan);
  if (!can_be_read_again(*plan, setup)) return 0;
  const stitch::Plan again =
      machine::read_gcode(machine::write_gcode(*plan, setup), "again", setup);
  BUCKRAM_ASSERT(again.op == plan->op);
  return 0;
}
