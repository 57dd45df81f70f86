// The parts that a visit sews, "chief, letter ground and 3 more".
#pragma once

#include "report/sheet.h"

#include <string>

namespace buckram::report {

std::string words_of_visit(const Sheet& sheet, const Visit& visit);

}  // namespace buckram::report
