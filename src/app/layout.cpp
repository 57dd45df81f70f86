#include "options.h"
#include "verbs.h"

#include <fmt/format.h>

#include <filesystem>

namespace buckram::app {
namespace {

constexpr std::uint64_t kMaxFileBytes = 200'000'000;
constexpr std::uint64_t kMaxPatternBytes = 4'000'000;

struct Asked {
  std::string action;
  std::vector<std::string> files;
  bool wants_patterns = false;
  machine::PatternOptions pattern;
  std::string output;
  bool is_quiet = false;
};

[[noreturn]] void refuse(const std::string& what, const std::string& hint) {
  throw base::Error{base::ErrorCode::bad_job, what, "layout", hint};
}

void print(const char* before, const std::vector<std::string>& lines) {
  for (const std::string& line : lines) fmt::print("{}{}\n", before, base::shown(line));
}

int check(const Asked& asked) {
  if (asked.files.empty() || asked.files.size() > 2) {
    refuse("check wants a layout, and perhaps a file of it",
           "Write: buckram layout check LAYOUT.toml [FILE]");
  }
  const machine::Layout layout = read_layout(find_data(), asked.files[0]);
  if (asked.files.size() == 2) {
    const std::string bytes = base::read_file(asked.files[1], kMaxFileBytes);
    print("", machine::describe_file(layout, bytes, asked.files[1]));
    return 0;
  }
  const std::string differs = machine::first_not_returned(layout);
  if (!differs.empty()) {
    throw base::Error{base::ErrorCode::bad_data, differs, asked.files[0], "Check its weights"};
  }
  print("", machine::describe_layout(layout));
  fmt::print("Every one of these steps comes back as it was written.\n");
  return 0;
}

void need_output(const Asked& asked, const std::string& hint) {
  if (asked.output.empty()) refuse("nothing says where to write", hint);
}

int write_patterns(const Asked& asked) {
  need_output(asked, "Give a folder with -o");
  std::vector<base::OutputFile> files;
  for (const machine::Pattern& pattern : machine::patterns_for(asked.pattern)) {
    files.push_back({(std::filesystem::path(asked.output) / (pattern.name + ".csv")).string(),
                     machine::write_pattern(pattern, asked.pattern.unit_mm)});
  }
  base::write_files(files);
  if (asked.is_quiet) return 0;
  for (const base::OutputFile& file : files) fmt::print("Written to {}\n", file.path);
  fmt::print(
      "Enter each on your own machine or its software, stitch by stitch as it stands there, from\n"
      "the place where the needle starts; save it, do not sew it. All four under one name, "
      "without\n"
      "a way home. Then: buckram layout learn {}/square.csv=FILE … --unit {:g} -o LAYOUT.toml\n",
      asked.output, asked.pattern.unit_mm);
  return 0;
}

machine::Sample sample_of(const std::string& pair, double unit_mm, std::string& extension) {
  const std::size_t equals = pair.find('=');
  if (equals == std::string::npos) {
    refuse(fmt::format("\"{}\" names no pattern and file", base::shown(pair)),
           "Write PATTERN.csv=FILE");
  }
  const std::string csv = pair.substr(0, equals), file = pair.substr(equals + 1);
  const std::string ending = std::filesystem::path(file).extension().string();
  if (ending.size() > 1) extension = ending.substr(1);
  return {machine::read_pattern(base::read_file(csv, kMaxPatternBytes), csv, unit_mm),
          base::read_file(file, machine::kMostSampleBytes)};
}

// `further` stands beside the layout.
std::string further_path(const std::string& output) {
  const std::filesystem::path path(output);
  return (path.parent_path() / (path.stem().string() + "-further.csv")).string();
}

int learn(const Asked& asked) {
  if (asked.wants_patterns) return write_patterns(asked);
  need_output(asked, "Give a layout file with -o, as -o quay.toml");
  machine::LearnOptions options;
  options.unit_mm = asked.pattern.unit_mm;
  options.name = std::filesystem::path(asked.output).stem().string();
  std::vector<machine::Sample> samples;
  for (const std::string& pair : asked.files) {
    samples.push_back(sample_of(pair, options.unit_mm, options.extension));
  }
  const machine::Learnt learnt = machine::learn_layout(samples, options);
  const std::string toml = "# Learnt from patterns that the machine saved: docs/layouts.md.\n" +
                           machine::write_layout(learnt.layout);
  machine::read_layout(toml, asked.output);  // an ending that is another kind of file is refused
  std::vector<base::OutputFile> files{{asked.output, toml}};
  if (learnt.further) {
    files.push_back(
        {further_path(asked.output), machine::write_pattern(*learnt.further, options.unit_mm)});
  }
  base::write_files(files);
  if (asked.is_quiet) return 0;
  print("  ", learnt.found);
  print("  assumed: ", learnt.assumed);
  print("  still to settle: ", learnt.asked);
  if (learnt.further) fmt::print("  the pattern to save next: {}\n", files.back().path);
  fmt::print("Written to {}. It writes every pattern byte for byte.\n{}\n", asked.output,
             machine::kFirstRunCaution);
  return 0;
}

}  // namespace

void add_layout(CLI::App& app, Run& run) {
  auto asked = std::make_shared<Asked>();
  CLI::App* verb = app.add_subcommand("layout", "the machine's own files, described by the shop");
  verb->footer(
      "Example: buckram layout check harbour-tally\n"
      "         buckram layout learn --patterns --unit 0.1 --longest 12 -o patterns\n"
      "         buckram layout learn patterns/square.csv=SQUARE.BIN patterns/ladder.csv=LADDER.BIN "
      "… -o quay.toml");
  verb->add_option("ACTION", asked->action, "check: a layout, or a file by its layout; learn: one")
      ->required()
      ->check(CLI::IsMember({"check", "learn"}));
  verb->add_option("FILES", asked->files,
                   "check: LAYOUT.toml or a shipped name, and FILE; learn: PATTERN.csv=FILE, each");
  verb->add_flag("--patterns", asked->wants_patterns, "learn: write the patterns to save");
  verb->add_option("--unit", asked->pattern.unit_mm, "learn: the machine's smallest step, mm");
  verb->add_option("--longest", asked->pattern.longest_mm,
                   "learn: the longest stitch it writes as one, mm");
  verb->add_option("--needles", asked->pattern.needles, "learn: needles that a change can name");
  verb->add_option("-o,--output", asked->output, "learn: layout file, or folder of the patterns");
  verb->add_flag("--quiet", asked->is_quiet, "print nothing");
  verb->callback([asked, &run] {
    run = [asked] { return asked->action == "check" ? check(*asked) : learn(*asked); };
  });
}

}  // namespace buckram::app
