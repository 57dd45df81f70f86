#include "options.h"

#include "machine/machine.h"

#include <fmt/format.h>

#include <filesystem>

namespace buckram::app {
namespace {

constexpr std::uint64_t kMaxJobBytes = 1'000'000;
constexpr std::uint64_t kMaxStitchBytes = 200'000'000;

std::string ending(const std::string& path) {
  return std::filesystem::path(path).extension().string();
}

// A typed "\n" starts a line, as a shell leaves it.
std::string with_lines(std::string text) {
  for (std::size_t at = text.find("\\n"); at != std::string::npos; at = text.find("\\n", at)) {
    text.replace(at, 2, "\n");
  }
  return text;
}

// An option of its own for a key of the job file.
struct OptionForKey {
  const char *option, *key;
  std::string value;  // as --set takes it; empty: not given
};

std::vector<OptionForKey> options_for_keys(const Options& o) {
  const auto quoted = [](const std::string& text) {
    return text.empty() ? "" : base::toml_text(text);
  };
  return {{"--cap", "cap.name", quoted(o.cap)},
          {"--mount", "bench.mount", quoted(o.mount)},
          {"--needle", "bench.needle", quoted(o.needle)},
          {"--speed", "bench.speed_spm", o.speed},
          {"--height", "artwork.height_mm", o.height},
          {"--width", "artwork.width_mm", o.width},
          {"--text", "artwork.text", quoted(with_lines(o.text))},
          {"--font", "artwork.font", quoted(o.font)},
          {"--at", "artwork.at_mm", o.at.empty() ? "" : '[' + o.at + ']'},
          {"--caps", "order.caps", o.caps},
          {"--seed", "seed", o.seed}};
}

// "cap NAME, mount NAME" as the G-code's head says it, or empty.
std::string setup_in_gcode(const std::string& text) {
  const std::string head = text.substr(0, 1000);
  const std::size_t begin = head.find("(cap ");
  const std::size_t mount = head.find(", mount ", begin);
  const std::size_t end = mount == std::string::npos ? mount : head.find(',', mount + 1);
  const bool is_there = begin != std::string::npos && end != std::string::npos;
  return is_there ? head.substr(begin + 1, end - begin - 1) : "";
}

// For files in machine mm that do not say what they were made for.
std::string read_as_on(const cap::Setup& setup) {
  return fmt::format("read as sewn on {} in the {}; give --cap and --mount if not", setup.cap.title,
                     setup.mount.title);
}

// Of a file in the layout that --layout or --from names.
Stitches read_described(const Options& o, const job::DataFolder& data, const std::string& bytes) {
  const machine::Layout layout = read_layout(data, o.layout);
  job::Resolved job = job::resolve(job::read_job("", "", "", settings_of(o)), data);
  machine::LayoutPlan read =
      machine::read_with(layout, bytes, o.input, machine::MachineMap(job.setup));
  job::set_pace(job, read.plan);
  std::vector<std::string> remarks;
  if (o.cap.empty() || o.mount.empty()) {
    remarks.push_back(read_as_on(job.setup));
  }
  if (!read.disagreements.empty()) {
    remarks.push_back(fmt::format(
        "{} of the file's own numbers disagree with its records: buckram layout check {} {}",
        read.disagreements.size(), o.layout, o.input));
  }
  return {std::move(read.plan), std::move(job), std::move(remarks)};
}

}  // namespace

void add_bench_options(CLI::App& verb, Options& o) {
  verb.add_option("--cap", o.cap, "cap: a shipped name or a file");
  verb.add_option("--mount", o.mount, "mount: a shipped name or a file");
  verb.add_option("--needle", o.needle, "needle, as 80:sharp");
  verb.add_option("--speed", o.speed, "stitches a minute");
  verb.add_option("--set", o.sets,
                  "set any key of the job file, as bench.raise_mm=2; may be repeated")
      ->expected(1)
      ->take_all();
}

void add_place_options(CLI::App& verb, Options& o) {
  verb.add_option("--height", o.height, "height of what is painted, mm");
  verb.add_option("--width", o.width, "width of what is painted, mm");
  verb.add_option("--at", o.at, "middle of the artwork on the front, X,Y in mm");
  verb.add_option("--caps", o.caps, "caps in the order");
  verb.add_option("--seed", o.seed, "seed of the forecast's draws");
}

void add_walk_option(CLI::App& verb, Options& o) {
  verb.add_flag("--walk", o.walk, "the machine file first moves round the design's box, needle up");
}

void add_layout_option(CLI::App& verb, Options& o) {
  verb.add_option("--layout", o.layout,
                  "the machine's own files: a shipped layout's name or a file (docs/layouts.md)");
}

void add_talk_options(CLI::App& verb, Options& o) {
  verb.add_flag("--json", o.talk.is_json, "print the verdict as JSON");
  verb.add_flag("--quiet", o.talk.is_quiet, "print nothing");
}

std::vector<std::string> settings_of(const Options& o) {
  std::vector<std::string> sets = o.sets;
  for (const OptionForKey& each : options_for_keys(o)) {
    if (each.value.empty()) continue;
    const std::string set = std::string(each.key) + '=' + each.value;
    try {
      job::read_job("", "", "", {set});
    } catch (base::Error& error) {
      error.where = fmt::format("{} ({})", each.option, each.key);  // as it was typed
      throw;
    }
    sets.push_back(set);
  }
  return sets;
}

job::Job job_of(const Options& o) {
  std::vector<std::string> sets = settings_of(o);
  if (ending(o.input) == ".toml") {
    const std::filesystem::path path(o.input);
    return job::read_job(base::read_file(o.input, kMaxJobBytes), o.input,
                         path.parent_path().string(), sets);
  }
  job::Job job = job::read_job("", "", "", sets);
  if (!o.font.empty() && job.lettering.text.empty()) {
    throw base::Error{base::ErrorCode::bad_job, "is given without a text", "--font",
                      "Give the lettering with --text; text of an artwork has its own fonts"};
  }
  if (!o.input.empty() && !job.lettering.text.empty()) {
    throw base::Error{base::ErrorCode::bad_job, "is given beside an artwork", "--text",
                      "Give one of the two"};
  }
  if (!o.input.empty()) job.artwork_file = o.input;
  return job;
}

machine::Layout read_layout(const job::DataFolder& data, const std::string& name_or_file) {
  const job::Source source =
      job::find_source(data, "layouts", "layout", job::name_or_file(name_or_file, ""));
  return machine::read_layout(source.text, source.where);
}

Stitches read_stitches(const Options& o, const job::DataFolder& data) {
  const std::string bytes = base::read_file(o.input, kMaxStitchBytes);
  if (!o.layout.empty()) return read_described(o, data, bytes);
  const std::string kind = ending(o.input);
  const std::vector<std::string> sets = settings_of(o);
  if (kind == ".json") {
    stitch::Plan plan = stitch::read_plan(bytes, o.input);
    job::Resolved job = job::resolve(job::read_plan_job(plan.job, sets), data);
    if (!sets.empty()) job::set_pace(job, plan);  // otherwise the file's own speeds hold
    return {std::move(plan), std::move(job), {}};
  }
  job::Resolved job = job::resolve(job::read_job("", "", "", sets), data);
  if (kind == ".csv") {
    stitch::Plan plan = machine::read_csv(bytes, o.input);
    job::set_pace(job, plan);
    std::vector<std::string> remarks;
    if (o.cap.empty() || o.mount.empty()) {
      remarks.push_back(fmt::format("cap and bench assumed: {}, {}; give --cap and --mount",
                                    job.setup.cap.title, job.setup.mount.title));
    }
    return {std::move(plan), std::move(job), std::move(remarks)};
  }
  if (kind == ".gcode" || kind == ".ngc" || kind == ".nc") {
    stitch::Plan plan = machine::read_gcode(bytes, o.input, job.setup);
    job::set_pace(job, plan);
    std::vector<std::string> remarks;
    const std::string said = setup_in_gcode(bytes);
    const std::string here =
        fmt::format("cap {}, mount {}", job.setup.cap.name, job.setup.mount.name);
    if (!said.empty() && said != here) {
      remarks.push_back(fmt::format("the file was made for {}, and is read for {}", said, here));
    } else if (said.empty() && (o.cap.empty() || o.mount.empty())) {
      remarks.push_back(read_as_on(job.setup));
    }
    return {std::move(plan), std::move(job), std::move(remarks)};
  }
  throw base::Error{base::ErrorCode::bad_stitches,
                    fmt::format("\"{}\" is not a kind of stitch file", kind), o.input,
                    "Give a plan (.json), stitches (.csv) or G-code (.gcode), or say its --layout"};
}

}  // namespace buckram::app
