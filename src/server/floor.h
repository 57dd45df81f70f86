// What the floor page shows, and the record of breaks.
#pragma once

#include "job/told.h"
#include "server/request_body.h"
#include "server/store.h"

#include <optional>
#include <string>

namespace buckram::server {

// docs/api.md, "Floor": steps to tick off, threads in order, cautions, which way up, the start.
std::string floor_json(const job::Resolved& job, const stitch::Plan& plan,
                       const advise::Verdict& verdict, const report::Told& told, int revision);

// Where needle or thread broke, and where to go on.
struct BreakPlace {
  int entry = 0;
  int stitch = 0;      // its number, from 1, as machines count
  int block = 0;       // from 1
  int object = 0;      // PlanObject::id
  int go_back_to = 0;  // entry
  int go_back_stitch = 0;
  std::string words;
};
// The stitch at that entry, or the nearest before it. Goes back far enough that the new thread is
// held: kBackStitches or kBackMm, whichever is more, within what the thread sewed since it was last
// cut. Throws Error{bad_job} for an entry that the plan does not have.
BreakPlace place_of_break(const stitch::Plan& plan, int entry, Broke broke = Broke::needle);
inline constexpr int kBackStitches = 6;  // both: common practice, no source
inline constexpr double kBackMm = 12;

}  // namespace buckram::server
