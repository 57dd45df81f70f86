// Door of job/: the job file, and the one path from artwork to files.
//
//   artwork -> regions -> objects -> ordered objects -> plan      plan_stitches
//   plan -> hazard -> verdict and changes                         plan_job
//   plan and verdict -> files                                     plan_outputs
#pragma once

#include "advise/advise.h"
#include "artwork/artwork.h"
#include "base/base.h"
#include "cap/cap.h"
#include "digitise/digitise.h"
#include "machine/machine.h"
#include "needle/hazard.h"
#include "report/report.h"
#include "sequence/sequence.h"
#include "stitch/stitch.h"

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace buckram::job {

// The bench on which gaps were measured, as far as they depend on it. Empty keys: as the mount has
// it by itself.
struct GapBench {
  std::optional<double> raise_mm, packing_mm, tautness;
  std::optional<bool> has_clips, is_pressed;
};

// A job as asked: every key of the job file, before caps and mounts are looked up. Empty optionals
// fall back to the mount, the cap or the default placement.
struct Job {
  std::string artwork_file;  // or else lettering:
  artwork::Lettering lettering;
  std::string title;                             // for the sheet; empty: from the file's name
  std::optional<double> height_mm, width_mm;     // 1 to 400
  std::optional<geometry::Point> at_mm;          // middle of the painted box on the chart
  std::string threads_file;                      // empty: the shipped list
  std::string cap = "six-panel-structured-mid";  // name or file
  double crown_stiffness = 1;                    // 0.3 to 3
  std::optional<bool> has_seam;
  std::string mount = "rotary";  // name or file
  std::optional<double> raise_mm, packing_mm, tautness, foot_mm, speed_spm, slowest_spm, turn_deg;
  std::optional<bool> has_clips, is_pressed;
  std::optional<cap::TurnedBy> turned_by;
  std::string needle = "80:sharp";
  std::optional<std::vector<std::string>> backing;
  std::optional<int> heads, needles;
  std::vector<cap::GapReading> gap;
  std::optional<GapBench> gap_bench;  // empty: measured on the bench above
  digitise::Style style = digitise::Style::cap;
  sequence::Mode order = sequence::Mode::planned;
  std::optional<double> row_spacing_mm, column_spacing_mm, compensation_mm, fill_stitch_mm;
  std::vector<std::string> follow_shape;  // elements whose fills' rows bend with the shape; "*"
  std::vector<digitise::OwnStitches> objects;  // [object.7]: stitches of single objects
  int caps = 1;
  std::string customer;
  double breaks_per_100 = 2;
  std::vector<std::string> locked;  // ids or keys of changes, numbers of objects
  std::uint64_t seed = 1;
};

// Reads a job file and applies `sets`, each "KEY=VALUE", in order over it. Relative paths in the
// file are taken from `folder` (empty: the working folder). Throws Error{bad_job} naming key,
// value and range; unknown keys with the nearest known one.
Job read_job(std::string_view toml, const std::string& where, const std::string& folder,
             const std::vector<std::string>& sets);

// The job that plan.json carries (Plan::job), with `sets` over it. An empty text is the default
// job.
Job read_plan_job(const std::string& json, const std::vector<std::string>& sets);

// A job with `sets` over it, as if they stood at the end of the command line. Where they name
// another mount or cap, what went with the old one is left behind first (`without_own`). Gaps that
// the job has were measured on the bench that it has; gaps among `sets`, on the one set with them.
// Law: a change of the bench thus acts on measured gaps as on any.
Job with_settings(const Job& job, const std::string& where, const std::vector<std::string>& sets);

// The setting that says on which bench the job's gaps were measured: "gap_bench={ raise_mm = 2 }".
std::string gap_bench_setting(const Job& job);

// What of a job goes with its mount, and what with its cap: another one brings its own, and a plan
// that carries the old one's would be forecast and turned wrongly. Measured gaps go with both.
// Clips and pressing are what the shop does to any front, and stay.
enum class Own { mount, cap };
std::vector<std::string> keys_of(Own what);  // "bench.raise_mm", ...; "gap" among both
Job without_own(Job job, Own what);          // those keys as if never set

// Where shipped data lies: caps/, mounts/, threads/, fabrics.toml, needles.toml, mechanics.toml,
// practice.toml, times.toml.
struct DataFolder {
  std::string path;
  std::string shop_file{};  // shop.toml; empty: there is none
};

// Everything of the shop that planning looks up besides the job.
struct Resolved {
  Job job;
  cap::Setup setup;
  std::vector<artwork::Thread> threads;
  std::vector<cap::Needle> needles;
  digitise::Recipe recipe;
  stitch::Limits limits;
  std::shared_ptr<const needle::Mechanics> mechanics;
  advise::ShopTimes times;
  advise::Owned owned;
  std::string practice_toml;
  DataFolder data;
};

// Looks up every name and fills in every default. Throws Error{unknown_name} with the nearest
// name, Error{cannot_read}, Error{bad_data}, Error{bad_job} for values outside the mount's range.
Resolved resolve(const Job& job, const DataFolder& data);

// Reads the artwork by its kind. Throws Error{bad_artwork} for kinds that cannot be read.
artwork::Drawing read_artwork(const Job& job);

// Artwork to plan. `plan` is empty when the artwork cannot be placed inside the reach or nothing in
// it can be sewn; `refusal` then says why in words.
struct Planned {
  std::optional<stitch::Plan> plan;
  std::string refusal;
  geometry::Affine placement;
  artwork::Regions regions;
  std::vector<digitise::Object> objects;
  sequence::Order order;
  std::vector<artwork::Note> notes;      // of every stage
  std::vector<stitch::Breach> breaches;  // craft limits broken: such a plan is not to be written
};
Planned plan_stitches(const Resolved& job, const artwork::Drawing& drawing,
                      const base::Watch& watch = {});

// The plan's block speeds for the job's bench (advise/pace.h). A bench without a slowest speed
// leaves those that the plan has.
void set_pace(const Resolved& job, stitch::Plan& plan, const base::Watch& watch = {});

// Penetrations that the needle cannot reach on this cap and mount: outside the field, on an eyelet,
// in the strip beside the bill seam (0.1 mm of rounding allowed). None in a plan of ours.
std::vector<geometry::Point> outside_reach(const Resolved& job, const stitch::Plan& plan);
// Throws Error{limit_broken} when there are any: no machine file is written for such stitches.
void refuse_outside_reach(const Resolved& job, const stitch::Plan& plan, const std::string& where);

// Plan to verdict and changes; where there is no plan, offers instead. Throws Error{limit_broken}
// for a plan with breaches: it must not be written.
advise::Verdict plan_job(const Resolved& job, const artwork::Drawing& drawing,
                         const Planned& planned, const base::Watch& watch = {});

// The same job, changed: what --auto makes of it.
struct Improved {
  Resolved job;
  Planned planned;
  advise::Verdict verdict;  // of the changed job; `applied` says what was changed
  bool is_stopped = false;  // the search was stopped: the best of what was tried until then
  int n_plans = 0;          // ways of stitching that were planned
};

struct ImproveOptions {
  // Asked when the watch has stopped the search: whether to go on with the best set found so far,
  // planned and judged like any other, which takes some seconds. Lowers the watch's flag if so:
  // raised again, it ends all. Empty: no.
  std::function<bool()> keeps_best = {};
};
// Changes to the stitches and to the bench, searched in turn until neither gains: the set with the
// least expected cost, or over the limit the fewest breaks. Then the job is planned and judged anew
// with it. Requires planned.plan. Size and mount stay as asked: those are the customer's and the
// offers' to change; so do the stitches of locked objects. Laws: never more expected breaks
// than before where the limit was passed; no more of the artwork lost than advise::kMostLost.
// Throws Error{cancelled}. A plan for every way of stitching tried: some 10 to 80,
// most of them of one object.
Improved improve_job(const Resolved& job, const artwork::Drawing& drawing, const Planned& planned,
                     const base::Watch& watch = {}, const ImproveOptions& options = {});

// The counter answer: which of these caps and mounts take the artwork, how tall, at what risk.
//
// Stitches depend on the size and on whether a seam lies under them, hardly on where on the front
// they lie. So the artwork is planned once for every size that occurs and laid where each cap has
// it; reach, gap and forecast are each cap's own.
struct CounterAnswer {
  // `fits`: as asked; else `height_mm` is `tallest_mm`, the tallest that fits with its lower edge
  // where it was asked or where it usually is, 0 where nothing does.
  advise::Offer offer;
  std::string cap_title, mount_title;
  bool is_within = false;  // of the limit of breaks, with `offer.set` made
  advise::Answer answer = advise::Answer::refuse;
};

// Every cap on every mount (names or files), best first: as asked and within the limit, then
// smaller and within it, then over it, then what fits nowhere; within each by what minutes and
// breaks cost as it would be sewn: with the bench changes made that get it under the limit. Throws
// Error{unknown_name}, Error{cannot_read}, Error{cancelled}. Some 0.2 s a pair on one core for
// 10,000 stitches, and a plan for every size that occurs.
std::vector<CounterAnswer> counter_answers(const Job& job, const DataFolder& data,
                                           const artwork::Drawing& drawing,
                                           const std::vector<std::string>& caps,
                                           const std::vector<std::string>& mounts,
                                           const base::Watch& watch = {});

// Mounts that the counter offers: those the shop owns, else all shipped but those for cut panels.
std::vector<std::string> counter_mounts(const Job& job, const DataFolder& data);

// Shipped names, or a LIST: names and files with commas between, or @FILE with one a line.
std::vector<std::string> caps_from(const std::string& list, const DataFolder& data);

// The verdict on stitches as they are, without the artwork they came from.
advise::Verdict check_plan(const Resolved& job, const stitch::Plan& plan,
                           const base::Watch& watch = {});

// The machine file that `plan` writes beside plan.json.
inline constexpr const char* kMachineFile = "stitches.gcode";

struct OutputOptions {
  std::optional<machine::Layout> layout{};  // also stitches.EXT in the machine's own layout
  bool walk_box = false;  // machine files first move round the design's box, needle up
};

// What `plan` and `check` write, as files under `folder`. Without a plan only verdict.json, and
// what a plan would have written is gone: nobody may sew an earlier plan under a refusal. Machine
// files of earlier plans ("stitches.EXT" of any layout) are gone beside a new plan, too.
std::vector<base::OutputFile> plan_outputs(const Resolved& job, const stitch::Plan* plan,
                                           const advise::Verdict& verdict,
                                           const std::string& folder,
                                           const OutputOptions& options = {});
std::vector<base::OutputFile> check_outputs(const Resolved& job, const stitch::Plan& plan,
                                            const advise::Verdict& verdict,
                                            const std::string& folder);
struct SheetOptions {
  report::Paper paper = report::Paper::a4;
  std::string machine_file{};   // to load; empty: not made yet, and the sheet says so
  bool file_says_speed = true;  // the machine slows by it; else the operator has to
};
// The run sheet of a plan and its verdict.
std::string sheet(const Resolved& job, const stitch::Plan& plan, const advise::Verdict& verdict,
                  const SheetOptions& options = {});

// What a file in `folder` means by that text: a shipped name as it is, a path taken from the
// folder.
std::string name_or_file(const std::string& text, const std::string& folder);

// Text of a data file by its shipped name, or of the shop's own by its path; `kind` in words, as
// "cap", and the folder that holds the shipped ones. Throws Error{unknown_name} with the nearest
// name, Error{cannot_read}.
struct Source {
  std::string text, where;
};
Source find_source(const DataFolder& data, const std::string& folder, std::string_view kind,
                   const std::string& name);

// Names that `list` and messages show, in order: files of a folder without ".toml".
std::vector<std::string> shipped_names(const DataFolder& data, const std::string& folder);

}  // namespace buckram::job
