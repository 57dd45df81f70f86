#include "options.h"

#include "job/told.h"
#include "verbs.h"

#include <fmt/format.h>

#include <cstdio>

namespace buckram::app {
namespace {

// Ctrl-C while changes are searched: whoever waits wants to go on with what there is. A scheduler
// that ends the program wants it ended.
bool goes_on_with_best(const Talk& talk) {
  if (!goes_on_after_interrupt()) return false;
  end_progress();
  if (!talk.is_quiet) {
    fmt::print(stderr,
               "buckram: stopped early: planning with the best of what was tried; interrupt again "
               "to end with nothing written\n");
  }
  return true;
}

int plan(const Options& options) {
  const base::Watch watch = watch_for(options.talk);
  const job::DataFolder data = find_data();
  job::OutputOptions outputs{.walk_box = options.walk};
  if (!options.layout.empty()) outputs.layout = read_layout(data, options.layout);
  job::Resolved job = job::resolve(job_of(options), data);
  const artwork::Drawing drawing = job::read_artwork(job.job);
  job::Planned planned = job::plan_stitches(job, drawing, watch);
  advise::Verdict verdict;
  if (options.improves && planned.plan) {
    job::Improved improved = job::improve_job(job, drawing, planned, watch,
                                              {[&] { return goes_on_with_best(options.talk); }});
    job = std::move(improved.job);
    planned = std::move(improved.planned);
    verdict = std::move(improved.verdict);
  } else {
    verdict = job::plan_job(job, drawing, planned, watch);
  }
  if (outputs.layout && planned.plan) job::tell_layout(*outputs.layout, *planned.plan, verdict);
  watch.at("writing", 0.95);
  const std::vector<base::OutputFile> files = job::plan_outputs(
      job, planned.plan ? &*planned.plan : nullptr, verdict, options.output, outputs);
  watch.at("writing", 0.98);  // last chance to stop: from here all files are put in place
  base::write_files(files);
  end_progress();
  print_verdict(job, verdict, options.output, options.talk);
  return exit_status(verdict);
}

}  // namespace

void add_plan(CLI::App& app, Run& run) {
  auto options = std::make_shared<Options>();
  CLI::App* verb = app.add_subcommand("plan", "artwork to stitches, forecast and run sheet");
  verb->footer(
      "Example: buckram plan crest.svg --height 46 --cap six-panel-structured-mid -o out/crest");
  verb->add_option("ARTWORK", options->input,
                   "job file (.toml) or artwork (.svg); none with --text");
  verb->add_option("-o,--output", options->output, "folder for the results")->required();
  verb->add_option("--text", options->text, "lettering to sew instead of artwork");
  verb->add_option("--font", options->font,
                   "its font: an installed one by name, or a .ttf or .otf file");
  add_place_options(*verb, *options);
  add_bench_options(*verb, *options);
  add_layout_option(*verb, *options);
  verb->add_flag("--auto", options->improves,
                 "make the changes to stitches and bench that save most, then plan");
  add_walk_option(*verb, *options);
  add_talk_options(*verb, *options);
  verb->callback([options, &run] { run = [options] { return plan(*options); }; });
}

}  // namespace buckram::app
