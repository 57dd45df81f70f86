// The craft limits kept, whatever the shape did: the last hand on an object's penetrations.
//
// Columns, fills and runs are built to keep the limits by themselves; dirty outlines still find a
// step, a notch or a tip where one is broken by a tenth. What is done there is small and always
// the same, so that a plan is never refused for it: holes too near are left out, thread that would
// lie over a notch is drawn back or led round it, and a thread that is cut is locked.
#pragma once

#include "digitise/digitise.h"

#include <vector>

namespace buckram::digitise {

// Laws: the first and the last penetration stay where they are; no stitch is made longer than the
// recipe's longest; every thread that is cut begins and ends with a lock on the object's cloth, if
// its first and last holes lie there; a hole drawn back stays on its own row, at least the shortest
// stitch from the next.
void keep_limits(const Object& object, const Recipe& recipe, const Ties& ties,
                 std::vector<Piece>& pieces);

}  // namespace buckram::digitise
