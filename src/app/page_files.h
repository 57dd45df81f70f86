// The page as it was built into the program.
#pragma once

#include "server/server.h"

#include <vector>

namespace buckram::app {

// Every file of web/dist when the program was configured; none where it was not there.
std::vector<server::PageFile> page_files();

}  // namespace buckram::app
