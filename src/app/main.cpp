// The command line: one parser, one verb at a time, every error met in one place.
#include "serve.h"
#include "verbs.h"

#include "base/base.h"
#include "face.h"

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include <algorithm>
#include <csignal>
#include <cstdio>
#include <exception>

namespace {

using namespace buckram;

constexpr int kBadInput = 2, kInternalFault = 3;

// The nearest of `known` as a question, or nothing.
std::string did_you_mean(std::string_view word, const std::vector<std::string>& known) {
  const std::string nearest = base::nearest_name(word, known);
  return nearest.empty() ? "" : " Did you mean " + nearest + "?";
}

// "--hieght is not an option of plan. Did you mean --height?", or empty when every option is known.
std::string unknown_option(const CLI::App& verb, int argc, char** argv) {
  std::vector<std::string> known;
  for (const CLI::Option* option : verb.get_options()) {
    for (const std::string& name : option->get_lnames()) known.push_back("--" + name);
  }
  for (int i = 2; i < argc; ++i) {
    const std::string_view word =
        std::string_view(argv[i]).substr(0, std::string_view(argv[i]).find('='));
    const bool is_known = std::find(known.begin(), known.end(), word) != known.end();
    if (!word.starts_with("--") || is_known) continue;
    return fmt::format("{} is not an option of {}.{}", word, verb.get_name(),
                       did_you_mean(word, known));
  }
  return "";
}

// What people type to start the program, for words that they are to type: the script that builds
// and starts it calls it by its own name.
std::string called_as(int argc, char** argv) {
  return argc > 0 && argv[0] == std::string_view("./run") ? "./run" : "buckram";
}

// The verbs' examples begin with the program's name.
void tell_own_name(CLI::App& app, const std::string& self) {
  constexpr std::string_view kName = "buckram ";
  for (CLI::App* verb : app.get_subcommands({})) {
    std::string words = verb->get_footer();
    for (std::size_t at = words.find(kName); at != std::string::npos;
         at = words.find(kName, at + self.size() + 1))
      words.replace(at, kName.size(), self + " ");
    verb->footer(words);
  }
  app.name(self);
  app.footer(fmt::format("Start with: {} plan LOGO.svg --height 45 -o out", self));
}

int usage_error(const CLI::App& app, const CLI::ParseError& error, int argc, char** argv) {
  const std::string self = called_as(argc, argv);
  std::string text = error.what(), help = self + " --help";
  if (argc < 2)
    text = fmt::format("no verb is given. Start with: {} plan LOGO.svg --height 45 -o out", self);
  if (argc > 1 && argv[1][0] != '-') {
    std::vector<std::string> verbs;
    const CLI::App* chosen = nullptr;
    for (const CLI::App* verb : app.get_subcommands({})) {
      verbs.push_back(verb->get_name());
      if (verb->get_name() == argv[1]) chosen = verb;
    }
    if (chosen == nullptr) {
      text = fmt::format("no verb is called \"{}\".{}", argv[1], did_you_mean(argv[1], verbs));
    } else {
      const std::string unknown = unknown_option(*chosen, argc, argv);
      if (!unknown.empty()) text = unknown;
      help = fmt::format("{} {} --help", self, argv[1]);
    }
  }
  fmt::print(stderr, "buckram: {}\nSee {}.\n", text, help);
  return kBadInput;
}

// Names of files go into plans and sheets, whose texts are UTF-8.
void check_words(int argc, char** argv) {
  for (int i = 1; i < argc; ++i) {
    if (base::is_utf8(argv[i])) continue;
    throw base::Error{base::ErrorCode::bad_job, "is not UTF-8 text",
                      fmt::format("the command line's word {}, \"{}\"", i, base::shown(argv[i])),
                      "Give the file or folder a name in UTF-8"};
  }
}

// Work that a signal stopped ends by that signal, as shells and schedulers expect of a program:
// they see 128 + its number, and a script that was interrupted ends too.
void end_by_signal() {
  const int signal = app::stopping_signal();
  if (signal == 0) return;
  std::fflush(nullptr);
  std::signal(signal, SIG_DFL);
  std::raise(signal);
}

// What was printed has to arrive: a full disk behind a pipe or redirection is an error too.
int with_output_written(int status) {
  if (std::fflush(stdout) == 0 && std::ferror(stdout) == 0) return status;
  throw base::Error{base::ErrorCode::cannot_write, "not all could be printed", "standard output",
                    "Choose a place with room on its disk"};
}

}  // namespace

int main(int argc, char** argv) {
  CLI::App app{"Buckram: a customer's logo onto caps that are already sewn together."};
  app.set_version_flag("--version", BUCKRAM_VERSION);
  app.require_subcommand(1);
  app::Run run;
  app::add_plan(app, run);
  app::add_check(app, run);
  app::add_convert(app, run);
  app::add_offer(app, run);
  app::add_sheet(app, run);
  app::add_describe(app, run);
  app::add_layout(app, run);
  app::add_list(app, run);
  app::add_serve(app, run);
  app::add_dump(app, run);
  tell_own_name(app, called_as(argc, argv));
  try {
    check_words(argc, argv);
    app.parse(argc, argv);
    return with_output_written(run());
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
    if (error.code == base::ErrorCode::cancelled) end_by_signal();
    return base::error_kind(error.code).exit_status;
  } catch (const std::exception& fault) {
    app::end_progress();
    fmt::print(stderr, "buckram: internal fault: {}. Keep the input and report it.\n",
               fault.what());
    return kInternalFault;
  }
}
