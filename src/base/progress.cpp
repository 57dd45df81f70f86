#include "base/progress.h"

#include "base/error.h"

#include <string>

namespace buckram::base {

void Watch::at(std::string_view stage, double share) const {
  if (report) report(stage, share);
  if (stop.stop_requested()) {
    throw Error{ErrorCode::cancelled, "stopped while " + std::string(stage), "", ""};
  }
}

}  // namespace buckram::base
