// The verdict in sentences (the look's rules for wording: short, plain, number, unit, place).
#pragma once

#include "advise/verdict.h"

#include <string>

namespace buckram::advise {

// "Ready to run: about 0.4 needle breaks per 100 caps, likely 0.1 to 1." and its two siblings.
// Requires verdict.forecast.
std::string sentence_of(const Verdict& verdict);

}  // namespace buckram::advise
