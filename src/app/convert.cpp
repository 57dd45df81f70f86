#include "options.h"
#include "verbs.h"

#include "machine/machine.h"

#include <fmt/format.h>

namespace buckram::app {
namespace {

// What the plan becomes, by name or by the output's ending.
std::string converted(const Stitches& stitches, const std::string& to, const Options& asked) {
  if (asked.walk && to != "gcode") {
    throw base::Error{base::ErrorCode::bad_job, fmt::format("goes with gcode, not with {}", to),
                      "--walk", "Leave it out, or write --to gcode"};
  }
  if (to == "json") return stitch::write_plan(stitches.plan);
  if (to == "csv") return machine::write_csv(stitches.plan, {});
  if (to == "svg") return machine::write_svg(stitches.plan);
  if (to == "gcode") {
    job::refuse_outside_reach(stitches.job, stitches.plan, asked.input);
    machine::GcodeOptions options;
    options.speed_spm = stitches.job.setup.bench.speed_spm;
    options.walk_box = asked.walk;
    return machine::write_gcode(stitches.plan, stitches.job.setup, options);
  }
  throw base::Error{base::ErrorCode::bad_job, fmt::format("\"{}\" is no kind of output", to),
                    "--to", "Choose gcode, csv, svg or json"};
}

int convert(const Options& options, std::string to) {
  if (to.empty()) {
    const std::size_t dot = options.output.rfind('.');
    to = dot == std::string::npos ? "" : options.output.substr(dot + 1);
  }
  const Stitches stitches = read_stitches(options, find_data());
  base::write_files({{options.output, converted(stitches, to, options)}});
  if (options.talk.is_quiet) return 0;
  for (const std::string& remark : stitches.remarks) fmt::print("  note: {}\n", remark);
  fmt::print("Written to {}: {} stitches.\n", options.output,
             stitch::count(stitches.plan).stitches);
  return 0;
}

}  // namespace

void add_convert(CLI::App& app, Run& run) {
  auto options = std::make_shared<Options>();
  auto to = std::make_shared<std::string>();
  CLI::App* verb = app.add_subcommand("convert", "stitches from one file into another");
  verb->footer("Example: buckram convert out/crest/plan.json --to gcode -o crest.gcode");
  verb->add_option("STITCHES", options->input, "plan (.json), stitches (.csv) or G-code")
      ->required();
  verb->add_option("-o,--output", options->output, "file to write")->required();
  verb->add_option("--to", *to, "gcode, csv, svg or json; otherwise by the output's ending");
  verb->add_flag("--quiet", options->talk.is_quiet, "print nothing");
  add_bench_options(*verb, *options);
  add_walk_option(*verb, *options);
  verb->callback([options, to, &run] { run = [options, to] { return convert(*options, *to); }; });
}

}  // namespace buckram::app
