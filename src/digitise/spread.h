// Holes kept clear of each other: two nearer than 0.25 mm cut the cloth.
//
// Hidden ones come near where travel runs over travel, an edge run closes on its own first hole, a
// run goes back over the way out; nobody sees where they go down. Rows come near where a tip of
// the outline is sewn out and back, where edges meet at a point, and where sections meet.
#pragma once

#include "digitise/digitise.h"

namespace buckram::digitise {

// Moves each hole of under-stitching or travel that comes too near to an earlier hidden one of the
// object along its own thread, else a little aside, else leaves it out; what none of these
// helps stays where it is. Laws: no hole comes nearer than before to the hole before or after it
// than the shortest stitch; no stitch is made longer than the longest; thread that was on the
// cloth stays on it; the first and the last hole of all stay. O(holes).
void spread_hidden(std::vector<Piece>& pieces, const stitch::Within& cloth, const Recipe& recipe);

// The same for the rows of a fill: a hole that comes too near to an earlier one of the top layer is
// moved along its own thread, by as little as clears it, up to 0.3 mm; one within a straight row is
// else left out. Laws as above, but that a stitch which is short already may stay so; the
// ends of each piece stay.
void spread_rows(std::vector<Piece>& pieces, const stitch::Within& cloth, const Recipe& recipe);

}  // namespace buckram::digitise
