// What an offer asks of the bench, in words. Not part of the door.
#pragma once

#include "advise/advise.h"

#include <string>
#include <vector>

namespace buckram::job {

// A change as a state of the bench: "bench.raise_mm=3" is "the plate raised 3 mm".
std::string bench_words(const advise::Change& change);

// "with the seam pressed, the speed at 500 a minute and the plate raised 3 mm"; empty for none.
std::string with_set(const std::vector<std::string>& states);

}  // namespace buckram::job
