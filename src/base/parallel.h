// Parallel loops. Results must not depend on the number of threads: each index writes its own
// place, and sums are taken afterwards in order.
#pragma once

#include <cstddef>
#include <functional>

namespace buckram::base {

// Calls body(i) for every i in [0, n), in parallel, in chunks of at least `grain`. An exception
// from any call is passed on once all running calls have ended.
void parallel_for(std::size_t n, const std::function<void(std::size_t)>& body,
                  std::size_t grain = 1);

}  // namespace buckram::base
