#include "base/parallel.h"

#include <tbb/blocked_range.h>
#include <tbb/parallel_for.h>

namespace buckram::base {

void parallel_for(std::size_t n, const std::function<void(std::size_t)>& body, std::size_t grain) {
  // A loop of its own: one that is bound to an outer loop would be cut short without a word when
  // that fails, and its caller would go on with half a result.
  tbb::task_group_context own(tbb::task_group_context::isolated);
  tbb::parallel_for(
      tbb::blocked_range<std::size_t>(0, n, grain),
      [&](const auto& range) {
        for (std::size_t i = range.begin(); i != range.end(); ++i) body(i);
      },
      own);
}

}  // namespace buckram::base
