// Any bytes as plan.json: refused with an error, or a plan of good form that is written again: the
// second writing gives the first one's bytes, and its job is read or refused.
#include "base/base.h"
#include "job/job.h"

#include <cstdint>
#include <string>
#include <string_view>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace buckram;
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  try {
    const stitch::Plan plan = stitch::read_plan(text, "fuzz");
    stitch::check_form(plan);
    const std::string written = stitch::write_plan(plan);
    BUCKRAM_ASSERT(stitch::write_plan(stitch::read_plan(written, "again")) == written);
    stitch::count(plan);
    job::read_plan_job(plan.job, {});
  } catch (const base::Error&) {
    // bad input, said clearly
  }
  return 0;
}
