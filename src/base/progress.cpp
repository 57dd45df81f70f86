#include "base/progress.h"

#include "base/error.h"

#include <string>

namespace buckram::base {

void Watch::at(std::string_view stage, double share) const {
  if (report) report(stage, share);
  if (stop != nullptr && stop->load(std::memory_order_relaxed)) {
    throw Error{ErrorCode::cancelled, "stopped while " + std::string(stage), "",
                "Nothing was written"};
  }
}

}  // namespace buckram::base
