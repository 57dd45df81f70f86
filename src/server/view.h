// The plan as the page draws it, as JSON.
#pragma once

#include "job/told.h"

#include <string>

namespace buckram::server {

// docs/api.md, "View". Coordinates to 0.01 mm, chances to 4 digits, seconds to 0.1. O(entries).
std::string view_json(int revision, const job::Resolved& job, const stitch::Plan& plan,
                      const advise::Verdict& verdict, const report::Told& told);

// The same without a plan: the ground alone.
std::string bare_view_json(int revision, const job::Resolved& job);

}  // namespace buckram::server
