#include "options.h"
#include "verbs.h"

#include "cap/cap.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

namespace buckram::app {
namespace {

constexpr std::uint64_t kMaxBytes = 1'000'000;
constexpr double kPoorFitMm = 1.5;  // more than a rule on cloth explains

struct Asked {
  std::string kind, name, measures, output;
  bool is_quiet = false;
};

// Names stand in file names, G-code comments and CSV.
void check_name(const std::string& name) {
  const auto is_plain = [](unsigned char c) {
    return (c < 0x80 && std::isalnum(c) != 0) || c == '-' || c == '_';
  };
  if (!name.empty() && name.size() <= 60 && std::all_of(name.begin(), name.end(), is_plain)) return;
  throw base::Error{base::ErrorCode::bad_job,
                    fmt::format("\"{}\" is not a name", base::shown(name)), "NAME",
                    "Use letters, digits, - and _, as chandlers-own"};
}

// --cap and --mount tell a file by its ending; measurements are not written over.
void check_output(const Asked& asked) {
  const std::filesystem::path out(asked.output), from(asked.measures);
  if (out.extension() != ".toml") {
    throw base::Error{base::ErrorCode::bad_job,
                      fmt::format("\"{}\" does not end in .toml", asked.output), "-o",
                      "Call it " + asked.name + ".toml"};
  }
  if (out.lexically_normal() == from.lexically_normal()) {
    throw base::Error{base::ErrorCode::bad_job, "is the file of measurements", "-o",
                      "Write to another file"};
  }
}

void tell_profile(const cap::DescribedCap& made) {
  const cap::Profile profile(made.cap.crown);
  fmt::print("  {:>10} {:>12} {:>12} {:>8}\n", "height", "measured", "fitted", "lean");
  for (const cap::ProfilePlace& place : made.places) {
    const double y = profile.y_at_height(place.height_mm);
    fmt::print("  {:>7.0f} mm {:>9.1f} mm {:>9.1f} mm {:>6.0f}°\n", place.height_mm,
               place.setback_mm, made.cap.crown.r0_mm - profile.radius(y),
               base::degrees(profile.lean(y)));
  }
  fmt::print("  from bill seam to button: {:.0f} mm\n", profile.to_button());
  if (made.fit.worst_mm > kPoorFitMm) {
    fmt::print(
        "  note: a place lies {:.1f} mm off the profile: measure again, the straightedge\n"
        "        upright on the bill seam\n",
        made.fit.worst_mm);
  }
}

int describe(const Asked& asked) {
  check_name(asked.name);
  check_output(asked);
  const job::DataFolder data = find_data();
  const std::string measures = base::read_file(asked.measures, kMaxBytes);
  const std::string folder = asked.kind + 's';
  const cap::FindSource find = [&](const std::string& like) {
    const std::string beside = std::filesystem::path(asked.measures).parent_path().string();
    return job::find_source(data, folder, asked.kind, job::name_or_file(like, beside)).text;
  };
  if (asked.kind == "cap") {
    const cap::DescribedCap made = cap::describe_cap(measures, asked.measures, asked.name, find);
    base::write_files({{asked.output, cap::write_cap(made.cap)}});
    if (!asked.is_quiet) tell_profile(made);
  } else {
    const cap::Mount made = cap::describe_mount(measures, asked.measures, asked.name, find);
    base::write_files({{asked.output, cap::write_mount(made)}});
  }
  if (!asked.is_quiet)
    fmt::print("Written to {0}. Use it with --{1} {0}.\n", asked.output, asked.kind);
  return 0;
}

}  // namespace

void add_describe(CLI::App& app, Run& run) {
  auto asked = std::make_shared<Asked>();
  CLI::App* verb = app.add_subcommand("describe", "a shop's own cap or mount, from measurements");
  verb->footer(
      "Example: buckram describe cap chandlers-own --from measures.toml -o chandlers-own.toml");
  verb->add_option("KIND", asked->kind, "cap or mount")
      ->required()
      ->check(CLI::IsMember({"cap", "mount"}));
  verb->add_option("NAME", asked->name, "what it is called")->required();
  verb->add_option("--from", asked->measures, "what was measured (TOML; docs/own-caps.md)")
      ->required();
  verb->add_option("-o,--output", asked->output, "data file to write")->required();
  verb->add_flag("--quiet", asked->is_quiet, "print nothing");
  verb->callback([asked, &run] { run = [asked] { return describe(*asked); }; });
}

}  // namespace buckram::app
