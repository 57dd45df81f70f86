// The verbs of the command line. Each adds itself to the parser and runs when it was chosen.
#pragma once

#include <functional>
#include <string>

namespace CLI {
class App;
}

namespace buckram::app {

// Each sets `run` to what is to be done when its verb is chosen; that returns the exit status.
using Run = std::function<int()>;

void add_plan(CLI::App& app, Run& run);
void add_check(CLI::App& app, Run& run);
void add_convert(CLI::App& app, Run& run);
void add_offer(CLI::App& app, Run& run);
void add_sheet(CLI::App& app, Run& run);
void add_describe(CLI::App& app, Run& run);
void add_layout(CLI::App& app, Run& run);
void add_list(CLI::App& app, Run& run);
void add_dump(CLI::App& app, Run& run);

}  // namespace buckram::app
