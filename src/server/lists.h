// What the ticket's blanks may be filled with.
#pragma once

#include "job/job.h"

#include <string>

namespace buckram::server {

// docs/api.md, "Lists". Throws what reading the shipped data throws.
std::string lists_json(const job::DataFolder& data);

}  // namespace buckram::server
