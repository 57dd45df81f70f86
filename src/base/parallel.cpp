#include "base/parallel.h"

#include <tbb/blocked_range.h>
#include <tbb/parallel_for.h>

namespace buckram::base {

void parallel_for(std::size_t n, const std::function<void(std::size_t)>& body, std::size_t grain) {
  tbb::parallel_for(tbb::blocked_range<std::size_t>(0, n, grain), [&](const auto& range) {
    for (std::size_t i = range.begin(); i != range.end(); ++i) body(i);
  });
}

}  // namespace buckram::base
