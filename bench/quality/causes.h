// Where wrong colour and crowded penetrations come from: a tally for whoever wants fewer of them.
//
// Unlike the score it looks into the plan: what the planner took for the region at a place and
// which object it meant to cover it. No figure of the score depends on it.
#pragma once

#include "score.h"

#include <map>
#include <string>

namespace quality {

// By cause: per cent of the artwork (wrong colour, hidden thread seen), per cent of the
// penetrations (crowded).
struct Causes {
  std::map<std::string, double> wrong_colour, hidden_seen, crowded;
};

// False when the artwork cannot be painted.
bool find_causes(const Picture& picture, const buckram::job::Planned& planned, double pitch,
                 Causes& causes);

}  // namespace quality
