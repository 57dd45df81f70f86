// What all verbs share: where data lies, progress on a terminal, the human summary.
#pragma once

#include "job/job.h"

#include <string>
#include <vector>

namespace buckram::app {

// BUCKRAM_DATA, else share/buckram beside the program, else the source tree's data/. Throws
// Error{cannot_read} when none is there.
job::DataFolder find_data();

struct Talk {
  bool is_quiet = false;  // print nothing
  bool is_json = false;   // print the verdict on standard output
};

// Progress bar on standard error when that is a terminal and work takes over half a second; stops
// when the user interrupts.
base::Watch watch_for(const Talk& talk);
void end_progress();
// The signal that asked the work to stop, or 0.
int stopping_signal();
// After a Ctrl-C: work goes on, and the next one stops it again. False, and nothing done, where the
// program was told to end.
bool goes_on_after_interrupt();

// "46 mm (1.81 in)".
std::string length_words(double mm);

// RUN, REWORK or REFUSE.
std::string answer_word(advise::Answer answer);

void print_verdict(const job::Resolved& job, const advise::Verdict& verdict,
                   const std::string& folder, const Talk& talk);

// 0 for run, 1 for rework and refuse.
int exit_status(const advise::Verdict& verdict);

}  // namespace buckram::app
