#include "options.h"
#include "verbs.h"

#include <fmt/format.h>

namespace buckram::app {
namespace {

int sheet(const Options& options) {
  const base::Watch watch = watch_for(options.talk);
  const Stitches stitches = read_stitches(options, find_data());
  const advise::Verdict verdict = job::check_plan(stitches.job, stitches.plan, watch);
  base::write_files({{options.output, job::sheet(stitches.job, stitches.plan, verdict)}});
  end_progress();
  if (options.talk.is_quiet) return 0;
  for (const std::string& remark : stitches.remarks) fmt::print("  note: {}\n", remark);
  fmt::print("Written to {}.\n", options.output);
  return 0;
}

}  // namespace

void add_sheet(CLI::App& app, Run& run) {
  auto options = std::make_shared<Options>();
  CLI::App* verb = app.add_subcommand("sheet", "the run sheet of a plan");
  verb->footer("Example: buckram sheet out/crest/plan.json -o crest.pdf");
  verb->add_option("PLAN", options->input, "plan (.json)")->required();
  verb->add_option("-o,--output", options->output, "PDF to write")->required();
  verb->add_flag("--quiet", options->talk.is_quiet, "print nothing");
  add_bench_options(*verb, *options);
  verb->callback([options, &run] { run = [options] { return sheet(*options); }; });
}

}  // namespace buckram::app
