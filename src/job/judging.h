// What judging a plan needs of the job. Not part of the door.
#pragma once

#include "job/job.h"

namespace buckram::job {

advise::JudgeOptions judge_options(const Resolved& all);

// Only what an offer says of a plan: breaks, time, the best set and what it leaves.
advise::Verdict judge_in_brief(const Resolved& job, const stitch::Plan& plan,
                               const base::Watch& watch);

// The same watch without its reports: for plans that are steps of another.
base::Watch quiet(const base::Watch& watch);

}  // namespace buckram::job
