#include "options.h"
#include "verbs.h"

#include <fmt/format.h>

namespace buckram::app {
namespace {

constexpr std::uint64_t kMaxFileBytes = 200'000'000;

struct Asked {
  std::string action;
  std::vector<std::string> files;
};

[[noreturn]] void refuse(const std::string& what, const std::string& hint) {
  throw base::Error{base::ErrorCode::bad_job, what, "layout", hint};
}

int check(const Asked& asked) {
  if (asked.files.empty() || asked.files.size() > 2) {
    refuse("check wants a layout, and perhaps a file of it",
           "Write: buckram layout check LAYOUT.toml [FILE]");
  }
  const machine::Layout layout = read_layout(find_data(), asked.files[0]);
  if (asked.files.size() == 2) {
    const std::string bytes = base::read_file(asked.files[1], kMaxFileBytes);
    for (const std::string& line : machine::describe_file(layout, bytes, asked.files[1])) {
      fmt::print("{}\n", base::shown(line));
    }
    return 0;
  }
  const std::string differs = machine::first_not_returned(layout);
  if (!differs.empty()) {
    throw base::Error{base::ErrorCode::bad_data, differs, asked.files[0], "Check its weights"};
  }
  for (const std::string& line : machine::describe_layout(layout)) {
    fmt::print("{}\n", base::shown(line));
  }
  fmt::print("Every one of these steps comes back as it was written.\n");
  return 0;
}

}  // namespace

void add_layout(CLI::App& app, Run& run) {
  auto asked = std::make_shared<Asked>();
  CLI::App* verb = app.add_subcommand("layout", "the machine's own files, described by the shop");
  verb->footer("Example: buckram layout check harbour-tally");
  verb->add_option("ACTION", asked->action, "check: a layout, or a file by its layout")
      ->required()
      ->check(CLI::IsMember({"check"}));
  verb->add_option("FILES", asked->files, "check: LAYOUT.toml or a shipped name, and FILE");
  verb->callback([asked, &run] { run = [asked] { return check(*asked); }; });
}

}  // namespace buckram::app
