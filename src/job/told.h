// Second door of job/: what a screen tells of a job beside its files.
#pragma once

#include "job/job.h"
#include "report/told.h"

#include <string>

namespace buckram::job {

// What a screen tells of a plan, in the sheet's own words, with the file that plan_outputs() writes
// for the machine by the same options.
report::Told told(const Resolved& job, const stitch::Plan& plan, const advise::Verdict& verdict,
                  const OutputOptions& options = {});

// The caution for the first of the layout's files, and as notes what they do not carry: told before
// all else.
void tell_layout(const machine::Layout& layout, const stitch::Plan& plan, advise::Verdict& verdict);

// The artwork's name in words: "Keld harbour crest".
std::string title_of(const Job& job);

// The job with the defaults that its mount, cap and recipe gave it, but for size and place.
Job as_resolved(const Resolved& resolved);

// The same in the form of plan.json's "job".
std::string settings_json(const Resolved& resolved);

}  // namespace buckram::job
