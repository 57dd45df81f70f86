// Detail of the artwork that does not show in the stitches.
#pragma once

#include "sewn.h"

namespace quality {

// Places at least kLostWideMm wide and kLostLongMm long, within which the artwork's colour is not
// on top anywhere: bare, or another thread. Found on the grid alone (an opening by a disc, then
// connected parts), whatever the planner says of them. As everywhere in the score, a colour of the
// artwork stands for the plan's thread that is nearest to it.
inline constexpr double kLostWideMm = 0.8, kLostLongMm = 2.0;
int lost_features(const Painted& art, const Sewn& sewn, Colours& colours, const Frame& frame);

}  // namespace quality
