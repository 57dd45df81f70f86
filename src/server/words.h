// What the page says of a verdict, in the program's own words.
#pragma once

#include "advise/advise.h"

#include <string>

namespace buckram::server {

// {"sentence","changes":{ID:{"words","why","caution"}}}: of every change in the verdict.
std::string words_json(const advise::Verdict& verdict);

}  // namespace buckram::server
