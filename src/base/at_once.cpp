#include "base/at_once.h"

#include <tbb/task_arena.h>

namespace buckram::base {

void at_once(const std::function<void()>& work) {
  tbb::task_arena arena(tbb::task_arena::automatic, 1, tbb::task_arena::priority::high);
  arena.execute(work);
}

}  // namespace buckram::base
