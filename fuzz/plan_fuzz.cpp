// Any bytes as plan.json: refused with an error, or a plan of good form that is written and read
// again without a refusal: the second writing gives the first one's bytes. Its job is read or
// refused.
#include "base/base.h"
#include "job/job.h"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace {

using namespace buckram;

std::optional<stitch::Plan> plan_in(std::string_view text) {
  try {
    return stitch::read_plan(text, "fuzz");
  } catch (const base::Error&) {
    return std::nullopt;  // bad input, said clearly
  }
}

void read_job_of(const stitch::Plan& plan) {
  try {
    job::read_plan_job(plan.job, {});
  } catch (const base::Error&) {
    // bad input, said clearly
  }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto plan = plan_in({reinterpret_cast<const char*>(data), size});
  if (!plan) return 0;
  stitch::check_form(*plan);
  const std::string written = stitch::write_plan(*plan);
  BUCKRAM_ASSERT(stitch::write_plan(stitch::read_plan(written, "again")) == written);
  stitch::count(*plan);
  read_job_of(*plan);
  return 0;
}
