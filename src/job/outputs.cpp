#include "job/job.h"

#include "job/keys.h"
#include "job/told.h"

#include "machine/machine.h"

#include <algorithm>
#include <cctype>
#include <filesystem>
#include <functional>
#include <iterator>
#include <system_error>

namespace buckram::job {
namespace {

std::string one_line(std::string text) {
  std::replace(text.begin(), text.end(), '\n', ' ');
  return text;
}

report::Subject subject(const Resolved& job, const stitch::Plan& plan,
                        const advise::Verdict& verdict) {
  report::Subject subject{plan, job.setup,        verdict,      title_of(job.job),
                          "",   job.job.customer, job.job.caps, stitch::count(plan).box};
  const artwork::Lettering& lettering = job.job.lettering;
  subject.artwork = lettering.text.empty()
                        ? std::filesystem::path(job.job.artwork_file).filename().string()
                        : "Lettering in " + lettering.font;
  subject.times = job.times;
  return subject;
}

base::OutputFile file(const std::string& folder, const std::string& name, std::string bytes) {
  return {(std::filesystem::path(folder) / name).string(), std::move(bytes)};
}

std::vector<base::OutputFile> one(const std::string& folder, const std::string& name,
                                  std::string bytes) {
  return {file(folder, name, std::move(bytes))};
}

// Of the layout; empty without one.
std::string own_file_of(const OutputOptions& options) {
  return options.layout ? "stitches." + options.layout->extension : std::string();
}

report::Subject with_machine_file(report::Subject seen, const OutputOptions& options) {
  seen.machine_file = options.layout ? own_file_of(options) : kMachineFile;
  seen.file_says_speed = !options.layout;
  return seen;
}

// What `plan` writes beside verdict.json.
constexpr const char* kOfAPlan[] = {"plan.json", "stitches.csv", kMachineFile,
                                    "chart.svg", "preview.png",  "sheet.pdf"};

// Machine files of earlier plans in `folder`, in any layout: "stitches" with an ending that no file
// of this plan has.
std::vector<std::string> earlier_machine_files(const std::string& folder,
                                               const std::string& own_file) {
  namespace fs = std::filesystem;
  std::vector<std::string> names;
  std::error_code trouble;  // a folder that is not there yet holds none
  for (const auto& entry : fs::directory_iterator(folder.empty() ? "." : folder, trouble)) {
    const std::string name = entry.path().filename().string();
    const bool is_stitches = entry.path().stem() == "stitches" && entry.path().has_extension();
    const bool is_ours = name == own_file || std::find(std::begin(kOfAPlan), std::end(kOfAPlan),
                                                       name) != std::end(kOfAPlan);
    if (is_stitches && !is_ours) names.push_back(name);
  }
  std::sort(names.begin(), names.end());
  return names;
}

void add_gone(const std::string& folder, const std::vector<std::string>& names,
              std::vector<base::OutputFile>& all) {
  for (const std::string& name : names) {
    all.push_back(file(folder, name, ""));
    all.back().is_gone = true;
  }
}

// The plan as it is written into `folder`.
stitch::Plan moving(stitch::Plan plan, const std::string& folder) {
  plan.job = with_artwork_from(plan.job, folder);
  return plan;
}

std::vector<double> hazard_of(const advise::Verdict& verdict) {
  return verdict.forecast ? verdict.forecast->hazard : std::vector<double>{};
}

}  // namespace

std::string title_of(const Job& job) {
  if (!job.title.empty()) return job.title;
  if (!job.lettering.text.empty()) return one_line(job.lettering.text);
  std::string title = std::filesystem::path(job.artwork_file).stem().string();
  for (char& c : title) c = c == '-' || c == '_' ? ' ' : c;
  if (title.empty()) return "Stitches as given";
  title[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(title[0])));
  return title;
}

void tell_layout(const machine::Layout& layout, const stitch::Plan& plan,
                 advise::Verdict& verdict) {
  verdict.cautions.insert(verdict.cautions.begin(), machine::kFirstRunCaution);
  decltype(verdict.notes) notes;
  for (const std::string& each : machine::remarks_on(layout, plan))
    notes.push_back({"layout", layout.name, each, {}});
  verdict.notes.insert(verdict.notes.begin(), notes.begin(), notes.end());
}

report::Told told(const Resolved& job, const stitch::Plan& plan, const advise::Verdict& verdict,
                  const OutputOptions& options) {
  return report::tell(with_machine_file(subject(job, plan, verdict), options));
}

std::string sheet(const Resolved& job, const stitch::Plan& plan, const advise::Verdict& verdict,
                  const SheetOptions& options) {
  report::Subject seen = subject(job, plan, verdict);
  seen.machine_file = options.machine_file;
  seen.file_says_speed = options.file_says_speed;
  return report::sheet_pdf(seen, options.paper);
}

std::vector<base::OutputFile> check_outputs(const Resolved& job, const stitch::Plan& plan,
                                            const advise::Verdict& verdict,
                                            const std::string& folder) {
  return {file(folder, "verdict.json", advise::write_verdict(verdict)),
          file(folder, "stitches.csv", machine::write_csv(plan, hazard_of(verdict))),
          file(folder, "chart.svg", report::chart_svg(subject(job, plan, verdict)))};
}

std::vector<base::OutputFile> plan_outputs(const Resolved& job, const stitch::Plan* plan,
                                           const advise::Verdict& verdict,
                                           const std::string& folder,
                                           const OutputOptions& options) {
  const std::string own_file = own_file_of(options);
  if (plan == nullptr) {
    std::vector<base::OutputFile> all{file(folder, "verdict.json", advise::write_verdict(verdict))};
    add_gone(folder, {std::begin(kOfAPlan), std::end(kOfAPlan)}, all);
    add_gone(folder, earlier_machine_files(folder, ""), all);
    return all;
  }
  const report::Subject seen = with_machine_file(subject(job, *plan, verdict), options);
  machine::GcodeOptions gcode;
  gcode.speed_spm = job.setup.bench.speed_spm;
  gcode.walk_box = options.walk_box;
  std::vector<std::function<std::vector<base::OutputFile>()>> makers{
      [&] { return one(folder, "sheet.pdf", report::sheet_pdf(seen)); },
      [&] { return one(folder, "preview.png", report::preview_png(seen)); },
      [&] { return check_outputs(job, *plan, verdict, folder); },
      [&] { return one(folder, "plan.json", stitch::write_plan(moving(*plan, folder))); },
      [&] { return one(folder, kMachineFile, machine::write_gcode(*plan, job.setup, gcode)); }};
  if (options.layout) {
    makers.push_back([&] {
      const machine::MachineMap map(job.setup);
      return one(folder, own_file,
                 machine::write_with(*options.layout, *plan, map, {.walk_box = options.walk_box}));
    });
  }
  // The pictures take longest, and side by side.
  std::vector<std::vector<base::OutputFile>> made(makers.size());
  base::parallel_for(makers.size(), [&](std::size_t i) { made[i] = makers[i](); });
  std::vector<base::OutputFile> all;
  for (std::vector<base::OutputFile>& each : made) {
    std::move(each.begin(), each.end(), std::back_inserter(all));
  }
  add_gone(folder, earlier_machine_files(folder, own_file), all);
  return all;
}

}  // namespace buckram::job
