// Progress and cancellation, handed in by whoever waits.
#pragma once

#include <atomic>
#include <functional>
#include <string_view>

namespace buckram::base {

// Raised by whoever wants the work to stop. Free of locks, so that a signal handler may raise it.
using StopFlag = std::atomic<bool>;
static_assert(StopFlag::is_always_lock_free);

// `report` gets the stage in words ("sewing the border") and the share done, 0 to 1; both members
// may be left empty. Called from one thread at a time. The flag outlives the watch.
struct Watch {
  std::function<void(std::string_view stage, double share)> report;
  const StopFlag* stop = nullptr;

  // Reports, then throws Error{cancelled} when the flag is raised.
  void at(std::string_view stage, double share) const;
};

}  // namespace buckram::base
