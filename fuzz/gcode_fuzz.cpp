// Any bytes as G-code: refused with an error, or a plan of good form whose ops come back
// from what is written.
#include "base/base.h"
#include "machine/machine.h"

#include <cstdint>
#include <string_view>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace buckram;
  static const cap::Setup setup = [] {
    cap::Setup made;
    made.mount.field = {-110, 4, 110, 80};
    return made;
  }();
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  try {
    const stitch::Plan plan = machine::read_gcode(text, "fuzz", setup);
    stitch::check_form(plan);
    const stitch::Plan again =
        machine::read_gcode(machine::write_gcode(plan, setup), "again", setup);
    BUCKRAM_ASSERT(again.op == plan.op);
  } catch (const base::Error&) {
    // bad input, said clearly
  }
  return 0;
}
