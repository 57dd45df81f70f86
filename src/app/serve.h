// The verb that serves the page.
#pragma once

#include "verbs.h"

namespace buckram::app {

void add_serve(CLI::App& app, Run& run);

}  // namespace buckram::app
