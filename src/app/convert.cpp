#include "options.h"
#include "verbs.h"

#include "machine/machine.h"

#include <fmt/format.h>

#include <algorithm>

namespace buckram::app {
namespace {

bool names_layout(const job::DataFolder& data, const std::string& to) {
  const std::vector<std::string> shipped = job::shipped_names(data, "layouts");
  return to.ends_with(".toml") || std::find(shipped.begin(), shipped.end(), to) != shipped.end();
}

// What the plan becomes, by name or by the output's ending.
std::string converted(Stitches& stitches, const std::string& to, const Options& asked,
                      const job::DataFolder& data) {
  const bool is_layout = names_layout(data, to);
  if (asked.walk && to != "gcode" && !is_layout) {
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
  if (is_layout) {
    job::refuse_outside_reach(stitches.job, stitches.plan, asked.input);
    const machine::Layout layout = read_layout(data, to);
    const machine::MachineMap map(stitches.job.setup);
    for (std::string& remark : machine::remarks_on(layout, stitches.plan)) {
      stitches.remarks.push_back(std::move(remark));
    }
    stitches.remarks.emplace_back(machine::kFirstRunCaution);
    return machine::write_with(layout, stitches.plan, map, {.walk_box = asked.walk});
  }
  throw base::Error{base::ErrorCode::bad_job, fmt::format("\"{}\" is not a kind of output", to),
                    "--to", "Choose gcode, csv, svg, json, or a layout by its name or file"};
}

int convert(const Options& options, std::string to) {
  if (to.empty()) {
    const std::size_t dot = options.output.rfind('.');
    to = dot == std::string::npos ? "" : options.output.substr(dot + 1);
  }
  const job::DataFolder data = find_data();
  Stitches stitches = read_stitches(options, data);
  base::write_files({{options.output, converted(stitches, to, options, data)}});
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
  verb->add_option("STITCHES", options->input,
                   "plan (.json), stitches (.csv), G-code, or a file of --from")
      ->required();
  verb->add_option("-o,--output", options->output, "file to write")->required();
  verb->add_option(
      "--to", *to,
      "gcode, csv, svg, json, or a layout by its name or file; otherwise by the output's ending");
  verb->add_option("--from", options->layout, "layout of STITCHES: a shipped name or a file");
  verb->add_flag("--quiet", options->talk.is_quiet, "print nothing");
  add_bench_options(*verb, *options);
  add_walk_option(*verb, *options);
  verb->callback([options, to, &run] { run = [options, to] { return convert(*options, *to); }; });
}

}  // namespace buckram::app
