// What an offer asks of the bench, in words. Not part of the door.
#pragma once

#include "advise/advise.h"

#include <string>

namespace buckram::job {

// The best set as states of the bench: "with the seam pressed, the speed at 500 a minute and the
// plate raised 3 mm"; empty for none.
std::string with_set(const advise::Verdict& verdict);

// What is left with the best set, after it where it has any: "with the seam pressed: about 1.4
// needle breaks per 100 caps", and that it is over the limit where it is.
std::string left_in_words(const advise::Verdict& verdict);

}  // namespace buckram::job
