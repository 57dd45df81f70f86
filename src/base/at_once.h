// Second door of base/: work that somebody waits for, beside work that he does not.
#pragma once

#include <functional>

namespace buckram::base {

// Calls work() and returns when it has ended; exceptions pass. Threads that help with parallel
// loops come to its loops before those of work that was begun elsewhere, as soon as each has ended
// the piece that it is at.
void at_once(const std::function<void()>& work);

}  // namespace buckram::base
