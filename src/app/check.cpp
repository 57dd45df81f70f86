#include "options.h"
#include "verbs.h"

#include <fmt/format.h>

namespace buckram::app {
namespace {

int check(const Options& options) {
  const base::Watch watch = watch_for(options.talk);
  Stitches stitches = read_stitches(options, find_data());
  if (stitches.job.job.artwork_file.empty()) stitches.job.job.artwork_file = options.input;
  advise::Verdict verdict = job::check_plan(stitches.job, stitches.plan, watch);
  for (const std::string& remark : stitches.remarks) {
    verdict.notes.push_back({"assumed", options.input, remark, {}});
  }
  base::write_files(job::check_outputs(stitches.job, stitches.plan, verdict, options.output));
  end_progress();
  print_verdict(stitches.job, verdict, options.output, options.talk);
  return exit_status(verdict);
}

}  // namespace

void add_check(CLI::App& app, Run& run) {
  auto options = std::make_shared<Options>();
  CLI::App* verb = app.add_subcommand("check", "forecast for stitches as they are");
  verb->footer("Example: buckram check out/crest/plan.json --set bench.raise_mm=2 -o out/checked");
  verb->add_option("STITCHES", options->input,
                   "plan (.json), stitches (.csv), G-code, or a file of --layout")
      ->required();
  verb->add_option("-o,--output", options->output, "folder for the results")->required();
  add_layout_option(*verb, *options);
  add_bench_options(*verb, *options);
  add_talk_options(*verb, *options);
  verb->callback([options, &run] { run = [options] { return check(*options); }; });
}

}  // namespace buckram::app
