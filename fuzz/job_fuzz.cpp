// Any bytes as a job file, a cap, a mount and a thread list: read, or refused with an error.
#include "base/base.h"
#include "job/job.h"

#include <cstdint>
#include <string>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace buckram;
  if (size == 0) return 0;
  const std::string text(reinterpret_cast<const char*>(data) + 1, size - 1);
  try {
    switch (data[0] % 5) {
      case 0:
        job::read_job(text, "fuzz", "", {});
        break;
      case 1:
        cap::read_cap(text, "fuzz");
        break;
      case 2:
        cap::read_mount(text, "fuzz");
        break;
      case 3:
        artwork::read_threads(text, "fuzz");
        break;
      default:
        job::read_plan_job(text, {});
        break;
    }
  } catch (const base::Error&) {
    // bad input, said clearly
  }
  return 0;
}
