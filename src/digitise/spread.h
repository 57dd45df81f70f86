// Hidden holes kept clear of each other: travel over travel, an edge run closed on its own first
// hole, a run back over the way out. Two holes nearer than 0.25 mm cut the cloth, and nobody sees
// where under-stitching goes down.
#pragma once

#include "digitise/digitise.h"

namespace buckram::digitise {

// Moves each hole of under-stitching or travel that comes too near to an earlier hidden one of the
// object along its own thread, else a little aside, else leaves it out; what none of these
// helps stays where it is. Laws: no hole comes nearer than before to the hole before or after it
// than the shortest stitch; no stitch is made longer than the longest; thread that was on the
// cloth stays on it; the first and the last hole of all stay. O(holes).
void spread_hidden(std::vector<Piece>& pieces, const stitch::Within& cloth, const Recipe& recipe);

}  // namespace buckram::digitise
