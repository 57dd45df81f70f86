#include "options.h"

#include "job/told.h"
#include "verbs.h"

#include <fmt/format.h>

#include <filesystem>
#include <optional>

namespace buckram::app {
namespace {

// What `plan` wrote beside the plan, where it still holds for the bench: settings may turn the cap.
std::string machine_file_beside(const Options& options, const std::string& name) {
  namespace fs = std::filesystem;
  std::error_code trouble;
  const bool is_there = fs::is_regular_file(fs::path(options.input).parent_path() / name, trouble);
  return is_there && settings_of(options).empty() ? name : "";
}

int sheet(const Options& options, const std::string& paper_name, const std::string& layout_name) {
  job::SheetOptions drawn;
  if (paper_name == "letter") drawn.paper = report::Paper::letter;
  const base::Watch watch = watch_for(options.talk);
  const job::DataFolder data = find_data();
  std::optional<machine::Layout> layout;
  if (!layout_name.empty()) layout = read_layout(data, layout_name);
  const Stitches stitches = read_stitches(options, data);
  advise::Verdict verdict = job::check_plan(stitches.job, stitches.plan, watch);
  if (layout) job::tell_layout(*layout, stitches.plan, verdict);
  drawn.machine_file = machine_file_beside(
      options, layout ? "stitches." + layout->extension : std::string(job::kMachineFile));
  drawn.file_says_speed = !layout;
  base::write_files({{options.output, job::sheet(stitches.job, stitches.plan, verdict, drawn)}});
  end_progress();
  if (options.talk.is_quiet) return 0;
  for (const std::string& remark : stitches.remarks) fmt::print("  note: {}\n", remark);
  fmt::print("Written to {}.\n", options.output);
  return 0;
}

}  // namespace

void add_sheet(CLI::App& app, Run& run) {
  auto options = std::make_shared<Options>();
  auto paper = std::make_shared<std::string>("a4"), layout = std::make_shared<std::string>();
  CLI::App* verb = app.add_subcommand("sheet", "the run sheet of a plan");
  verb->footer("Example: buckram sheet out/crest/plan.json -o crest.pdf --paper letter");
  verb->add_option("PLAN", options->input, "plan (.json)")->required();
  verb->add_option("-o,--output", options->output, "PDF to write")->required();
  verb->add_option("--paper", *paper, "a4 (default) or letter")
      ->check(CLI::IsMember({"a4", "letter"}));
  verb->add_option("--layout", *layout,
                   "the machine's own files: the sheet names stitches.EXT beside the plan");
  verb->add_flag("--quiet", options->talk.is_quiet, "print nothing");
  add_bench_options(*verb, *options);
  verb->callback([options, paper, layout, &run] {
    run = [options, paper, layout] { return sheet(*options, *paper, *layout); };
  });
}

}  // namespace buckram::app
