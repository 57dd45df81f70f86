#include "server/planning.h"

#include "server/floor.h"
#include "server/json_text.h"
#include "server/view.h"
#include "server/words.h"

#include "base/at_once.h"
#include "job/told.h"
#include "machine/machine.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <filesystem>

namespace buckram::server {
namespace {

using base::Error;
using base::ErrorCode;

[[noreturn]] void names_a_file(const std::string& value, const std::string& key) {
  throw Error{ErrorCode::bad_job, fmt::format("\"{}\" names a file", base::shown(value)), key,
              "The page takes names from its lists only; plan with files on the command line"};
}

bool is_like_file(const std::string& text) {
  return text.find('/') != std::string::npos || text.find('.') != std::string::npos;
}

void refuse_files(const job::Job& job) {
  if (!job.artwork_file.empty()) names_a_file(job.artwork_file, "artwork.file");
  if (!job.threads_file.empty()) names_a_file(job.threads_file, "artwork.threads");
  if (is_like_file(job.cap)) names_a_file(job.cap, "cap.name");
  if (is_like_file(job.mount)) names_a_file(job.mount, "bench.mount");
  if (artwork::is_font_file(job.lettering.font)) names_a_file(job.lettering.font, "artwork.font");
}

machine::Layout layout_of(const std::string& name, const job::DataFolder& data) {
  if (is_like_file(name)) names_a_file(name, "layout");
  const job::Source source = job::find_source(data, "layouts", "layout", name);
  return machine::read_layout(source.text, source.where);
}

// Files of `plan` in `folder`, under their plain names.
std::vector<base::OutputFile> plain_named(std::vector<base::OutputFile> files) {
  std::erase_if(files, [](const base::OutputFile& file) { return file.is_gone; });
  for (base::OutputFile& file : files) {
    file.path = std::filesystem::path(file.path).filename().string();
  }
  return files;
}

// Breaks, without who is to blame for them: all that the stitches' hazard needs.
needle::Forecast brief_forecast(const stitch::Plan& plan, const job::Resolved& job,
                                const base::Watch& watch) {
  needle::ForecastOptions options;
  options.seed = job.job.seed;
  options.with_drivers = options.with_interval = options.with_words = false;
  return needle::forecast(plan, job.setup, *job.mechanics, options, watch);
}

bool is_same_sewn(const stitch::Plan& a, const stitch::Plan& b) {
  return a.x == b.x && a.y == b.y && a.op == b.op;
}

// New stitches and their hazard, as soon as they are there.
void tell_stitches(int revision, const job::Resolved& job, const stitch::Plan& plan,
                   const job::OutputOptions& outputs, const Waiting& waiting) {
  if (waiting.seen && is_same_sewn(plan, *waiting.seen)) return;
  advise::Verdict verdict;
  verdict.forecast = brief_forecast(plan, job, waiting.watch);
  verdict.forecast->worst.clear();  // told with their reasons or not at all
  const report::Told told = job::told(job, plan, verdict, outputs);
  waiting.ahead({revision, view_json(revision, job, plan, verdict, told),
                 100 * verdict.forecast->breaks_per_cap, "", ""});
}

// The verdict told, and the files for the page.
std::vector<base::OutputFile> page_files(int revision, const job::Resolved& job,
                                         const stitch::Plan* plan, const advise::Verdict& verdict,
                                         const job::OutputOptions& outputs, const Waiting& waiting,
                                         const Unfit& unfit) {
  std::vector<base::OutputFile> files{{"words.json", words_json(verdict)}};
  if (plan == nullptr) {
    files.push_back({"view.json", bare_view_json(revision, job, unfit)});
    return files;
  }
  const report::Told told = job::told(job, *plan, verdict, outputs);
  files.push_back({"view.json", view_json(revision, job, *plan, verdict, told)});
  waiting.ahead({revision, files.back().bytes, 100 * verdict.forecast->breaks_per_cap,
                 advise::write_verdict(verdict), files.front().bytes});
  files.push_back({"floor.json", floor_json(job, *plan, verdict, told, revision)});
  return files;
}

// What --auto settled on, as settings: the changes, with the size and place that they were found
// for.
std::vector<std::string> settings_made(const advise::Verdict& verdict, const job::Job& job) {
  std::vector<std::string> settings;
  if (!verdict.applied) return settings;
  for (const advise::Change& each : verdict.applied->changes) {
    if (each.chosen) settings.push_back(each.id);
  }
  if (settings.empty()) return settings;
  const auto is_set = [&](std::string_view key) {
    return std::any_of(settings.begin(), settings.end(),
                       [&](const std::string& each) { return key_of(each) == key; });
  };
  if (!job.gap.empty()) settings.push_back(job::gap_bench_setting(job));
  if (job.height_mm) settings.push_back(fmt::format("artwork.height_mm={}", *job.height_mm));
  if (job.width_mm) settings.push_back(fmt::format("artwork.width_mm={}", *job.width_mm));
  if (job.at_mm && !is_set("artwork.at_mm")) {
    settings.push_back(fmt::format("artwork.at_mm=[{}, {}]", job.at_mm->x, job.at_mm->y));
  }
  return settings;
}

// Size and verdict as they came out.
void sum_up(const advise::Verdict& verdict, const stitch::Plan* plan, Summary& summary) {
  summary.verdict = advise::name(verdict.answer);
  summary.breaks_per_100.reset();
  if (verdict.forecast) summary.breaks_per_100 = 100 * verdict.forecast->breaks_per_cap;
  if (plan == nullptr) return;
  const job::Job carried_out = job::read_plan_job(plan->job, {});
  if (carried_out.height_mm) summary.height_mm = carried_out.height_mm;
  if (!summary.height_mm) summary.height_mm = stitch::count(*plan).box.height();
}

}  // namespace

bool has_artwork(const job::Job& job) {
  return !job.artwork_file.empty() || !job.lettering.text.empty();
}

job::Job job_of(const Step& step, const Store& store) {
  job::Job job = job::read_job("", "", "", step.set);
  refuse_files(job);
  if (step.artwork.empty()) return job;
  const auto artwork = store.find_artwork(step.artwork);
  if (!artwork) {
    throw Error{ErrorCode::unknown_name, "no artwork has that id", step.artwork,
                "Send the artwork again"};
  }
  if (!job.lettering.text.empty()) {
    throw Error{ErrorCode::bad_job, "is given beside an artwork", "artwork.text",
                "Give one of the two"};
  }
  job.artwork_file = artwork->path;
  return job;
}

job::Resolved resolved_of(const Step& step, const Store& store, const job::DataFolder& data) {
  if (!step.layout.empty()) layout_of(step.layout, data);
  return job::resolve(job_of(step, store), data);
}

PlanRun run_plan(const Step& step, int revision, const Store& store, const job::DataFolder& data,
                 const std::string& folder, const Waiting& waiting) {
  const base::Watch& watch = waiting.watch;
  watch.at("reading the artwork", 0);
  job::Resolved job = resolved_of(step, store, data);
  job::OutputOptions outputs;
  if (!step.layout.empty()) outputs.layout = layout_of(step.layout, data);
  const artwork::Drawing drawing = job::read_artwork(job.job);
  job::Planned planned = job::plan_stitches(job, drawing, watch);
  advise::Verdict verdict;
  PlanRun run;
  if (step.improves && planned.plan) {
    job::Improved improved = job::improve_job(job, drawing, planned, watch);
    job = std::move(improved.job);
    planned = std::move(improved.planned);
    verdict = std::move(improved.verdict);
    run.improved = settings_made(verdict, job.job);
  } else {
    if (planned.plan) tell_stitches(revision, job, *planned.plan, outputs, waiting);
    verdict = job::plan_job(job, drawing, planned, watch);
  }
  const stitch::Plan* plan = planned.plan ? &*planned.plan : nullptr;
  if (outputs.layout && plan) job::tell_layout(*outputs.layout, *plan, verdict);
  const Unfit unfit = plan ? Unfit{} : unfit_of(job, drawing, planned.placement);
  run.files = page_files(revision, job, plan, verdict, outputs, waiting, unfit);
  watch.at("drawing the files", 0.95);
  for (base::OutputFile& file :
       plain_named(job::plan_outputs(job, plan, verdict, folder, outputs))) {
    run.files.push_back(std::move(file));
  }
  run.state = plan ? State::done : State::refused;
  run.summary = summary_of(step, job);
  sum_up(verdict, plan, run.summary);
  if (plan) run.plan = std::make_shared<const stitch::Plan>(std::move(*planned.plan));
  return run;
}

Summary summary_of(const Step& step, const job::Resolved& job) {
  Summary summary;
  const artwork::Lettering& lettering = job.job.lettering;
  summary.artwork = step.artwork.empty()
                        ? lettering.text
                        : std::filesystem::path(job.job.artwork_file).filename().string();
  summary.title =
      has_artwork(job.job) || !job.job.title.empty() ? job::title_of(job.job) : "No artwork yet";
  summary.cap = job.setup.cap.title;
  summary.mount = job.setup.mount.title;
  summary.height_mm = job.job.height_mm;
  summary.caps = job.job.caps;
  return summary;
}

std::string ticket_json(const Step& step, const job::Resolved& job, const Summary& summary) {
  const cap::Bench& bench = job.setup.bench;
  const artwork::Lettering& lettering = job.job.lettering;
  std::vector<std::string> backing;
  for (const cap::Layer& each : bench.backing) backing.push_back(each.name);
  std::string at = "null";
  if (job.job.at_mm) at = fmt::format("[{:g},{:g}]", job.job.at_mm->x, job.job.at_mm->y);
  return fmt::format(
      R"({{"title":{},"artwork":{},"artwork_id":{},"text":{},"font":{},"height_mm":{},)"
      R"("width_mm":{},"at_mm":{},"caps":{},"customer":{},"cap":{},"cap_title":{},"mount":{},)"
      R"("mount_title":{},"needle":{},"speed_spm":{:g},"raise_mm":{:g},"packing_mm":{:g},)"
      R"("clips":{},"pressed":{},"tautness":{:g},"foot_mm":{:g},"backing":{},"heads":{},)"
      R"("limit_breaks_per_100":{:g},"layout":{}}})",
      text_json(summary.title), text_json(summary.artwork),
      step.artwork.empty() ? "null" : text_json(step.artwork), text_json(lettering.text),
      text_json(lettering.font), figure(summary.height_mm), figure(job.job.width_mm), at,
      job.job.caps, text_json(job.job.customer), text_json(job.job.cap),
      text_json(job.setup.cap.title), text_json(job.job.mount), text_json(job.setup.mount.title),
      text_json(job.job.needle), bench.speed_spm, bench.raise_mm, bench.packing_mm, bench.has_clips,
      bench.is_pressed, bench.tautness, bench.foot_mm, text_list(backing), bench.heads,
      job.job.breaks_per_100, step.layout.empty() ? "null" : text_json(step.layout));
}

std::string settings_json(const job::Resolved& job) {
  job::Resolved named = job;
  named.job.artwork_file = std::filesystem::path(job.job.artwork_file).filename().string();
  return job::settings_json(named);
}

double quick_breaks_per_100(const stitch::Plan& plan, const job::Resolved& job) {
  double breaks_per_cap = 0;
  base::at_once([&] { breaks_per_cap = brief_forecast(plan, job, {}).breaks_per_cap; });
  return 100 * breaks_per_cap;
}

bool is_bench_key(const std::string& key) {
  constexpr std::array<std::string_view, 12> kBench{
      "bench.raise_mm", "bench.packing_mm",    "bench.clips",  "bench.pressed",
      "bench.tautness", "bench.foot_mm",       "bench.needle", "bench.speed_spm",
      "bench.backing",  "cap.crown_stiffness", "gap",          "limit.breaks_per_100"};
  return std::find(kBench.begin(), kBench.end(), key) != kBench.end();
}

}  // namespace buckram::server
