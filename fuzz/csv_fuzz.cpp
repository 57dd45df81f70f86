// Any bytes as stitches.csv: refused with an error, or a plan of good form that comes back the
// same.
#include "base/base.h"
#include "machine/machine.h"

#include <cstdint>
#include <string_view>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace buckram;
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  try {
    const stitch::Plan plan = machine::read_csv(text, "fuzz");
    stitch::check_form(plan);
    const stitch::Plan again = machine::read_csv(machine::write_csv(plan, {}), "again");
    BUCKRAM_ASSERT(again.op == plan.op);
  } catch (const base::Error&) {
    // bad input, said clearly
  }
  return 0;
}
