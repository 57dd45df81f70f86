// Progress and cancellation, handed in by whoever waits.
#pragma once

#include <functional>
#include <stop_token>
#include <string_view>

namespace buckram::base {

// `report` gets the stage in words ("sewing the border") and the share done, 0 to 1; both members
// may be left empty. Called from one thread at a time.
struct Watch {
  std::function<void(std::string_view stage, double share)> report;
  std::stop_token stop;

  // Reports, then throws Error{cancelled} when a stop was requested.
  void at(std::string_view stage, double share) const;
};

}  // namespace buckram::base
