// One run of the path for a job of the page: what is asked to the files that are shown.
#pragma once

#include "server/record.h"
#include "server/store.h"

#include "base/base.h"
#include "job/job.h"

#include <functional>
#include <memory>
#include <string>
#include <vector>

namespace buckram::server {

// The job that a step asks for. No setting may name a file: names of caps, mounts and fonts hold no
// slash and no dot, and artwork comes by its id. Throws Error{bad_job}, {unknown_name}.
job::Job job_of(const Step& step, const Store& store);

// The same looked up: every name known, every value in its range.
job::Resolved resolved_of(const Step& step, const Store& store, const job::DataFolder& data);

// Whether there is anything to sew in it.
bool has_artwork(const job::Job& job);

struct PlanRun {
  State state = State::done;  // or refused
  Summary summary;
  std::vector<base::OutputFile> files;  // plain names
  std::vector<std::string> improved;    // changes that were made, as settings
  std::shared_ptr<const stitch::Plan> plan;
};

// What of a run can be shown before its files are drawn, which takes as long as all before.
struct Ahead {
  int revision = 0;
  std::string view;            // as view.json
  double breaks_per_100 = 0;   // of those stitches
  std::string verdict, words;  // as verdict.json and words.json; empty: only stitches and hazard
};

// Who waits for a run.
struct Waiting {
  base::Watch watch;
  std::function<void(Ahead)> ahead;  // first the stitches, then the verdict too; neither if refused
  std::shared_ptr<const stitch::Plan> seen{};  // shown already: the same are not told again
};

// As the command line's `plan` does it: the files that it writes have the same bytes when they are
// to lie in `folder`. Beside them view.json, words.json and floor.json for the page. Throws what
// planning throws, Error{cancelled} among it.
PlanRun run_plan(const Step& step, int revision, const Store& store, const job::DataFolder& data,
                 const std::string& folder, const Waiting& waiting);

Summary summary_of(const Step& step, const job::Resolved& job);
// {"artwork","height_mm",...}: the blanks of the ticket as they are filled in.
std::string ticket_json(const Step& step, const job::Resolved& job, const Summary& summary);
// The job with its defaults filled in, in plan.json's form, the artwork by its plain name.
std::string settings_json(const job::Resolved& job);

// Needle breaks per 100 caps for the same stitches on the bench of `job`. Exact: what the full
// forecast of these stitches says. Some 50 ms for 10,000 stitches on two free cores; plans that are
// being made meanwhile give way (base/at_once.h).
double quick_breaks_per_100(const stitch::Plan& plan, const job::Resolved& job);
// Whether a change of that key leaves the stitches as they are.
bool is_bench_key(const std::string& key);

}  // namespace buckram::server
