// The command line: one parser, one verb at a time, every error met in one place.
#include "verbs.h"

#include "base/base.h"
#include "face.h"

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include <cstdio>
#include <exception>

namespace {

using namespace buckram;

constexpr int kBadInput = 2, kInternalFault = 3;

int usage_error(const CLI::App& app, const CLI::ParseError& error, int argc, char** argv) {
  std::string text = error.what();
  if (argc > 1 && argv[1][0] != '-') {
    std::vector<std::string> verbs;
    for (const CLI::App* verb : app.get_subcommands({})) verbs.push_back(verb->get_name());
    const bool is_known = std::find(verbs.begin(), verbs.end(), argv[1]) != verbs.end();
    if (!is_known) {
      const std::string nearest = base::nearest_name(argv[1], verbs);
      text = fmt::format("no verb is called \"{}\".{}", argv[1],
                         nearest.empty() ? "" : " Did you mean " + nearest + "?");
    }
  }
  fmt::print(stderr, "buckram: {}\nSee buckram --help.\n", text);
  return kBadInput;
}

}  // namespace

int main(int argc, char** argv) {
  CLI::App app{"Buckram: a customer's logo onto caps that are already sewn together."};
  app.set_version_flag("--version", BUCKRAM_VERSION);
  app.require_subcommand(1);
  app.footer("Start with: buckram plan LOGO.svg --height 45 -o out");
  app::Run run;
  app::add_plan(app, run);
  app::add_check(app, run);
  app::add_convert(app, run);
  app::add_sheet(app, run);
  app::add_list(app, run);
  app::add_dump(app, run);
  try {
    app.parse(argc, argv);
    return run();
  } catch (const CLI::CallForHelp&) {
    fmt::print("{}", app.help());
    return 0;
  } catch (const CLI::Success& done) {
    return app.exit(done);
  } catch (const CLI::ParseError& error) {
    return usage_error(app, error, argc, argv);
  } catch (const base::Error& error) {
    app::end_progress();
    fmt::print(stderr, "buckram: {}\n", base::message(error));
    return base::error_kind(error.code).exit_status;
  } catch (const std::exception& fault) {
    app::end_progress();
    fmt::print(stderr, "buckram: internal fault: {}. Please keep the input and report it.\n",
               fault.what());
    return kInternalFault;
  }
}
