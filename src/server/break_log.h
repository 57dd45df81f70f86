// The record of needle and thread breaks in a job's log.jsonl: lines are only ever added.
//
// {"event":"ID","at":TIME,"broke":"needle","entry":812,"needle":4,"cap":3,"note":"","revision":N,
//  "object":7,"block":12,"stitch":790}, and {"event":"ID","at":TIME,"taken_back":true}.
#pragma once

#include "server/floor.h"

#include <string>

namespace buckram::server {

std::string break_line(const std::string& event, const std::string& time, int revision,
                       const BreakReport& report, const BreakPlace& place);
std::string taken_back_line(const std::string& event, const std::string& time);

// Whether the log speaks of that break, taken back or not.
bool knows(const std::string& log, const std::string& event);
// Whether that break stands in the log and was not taken back.
bool stands(const std::string& log, const std::string& event);
// The breaks that stand, oldest first, as a JSON array of the lines. Lines that cannot be read (of
// a disk that was full) are passed over.
std::string standing_json(const std::string& log);

}  // namespace buckram::server
