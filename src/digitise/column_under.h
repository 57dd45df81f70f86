// Under-stitching of columns: what holds the cloth before the threads are laid across.
//
// A centre run for narrow ones, an edge run (out along one side, back along the other) for wider,
// edge run and open zigzag for the widest; on caps one step lighter than on flats (common
// practice, no source). Either it goes from the column's start to its end and comes back, so that
// the top layer begins where it did; or it goes through, and the top layer comes back.
#pragma once

#include "digitise/digitise.h"

#include <vector>

namespace buckram::digitise {

// Needle-downs along `rungs` (in sewing order), from near the first to near the last and back;
// empty for short columns and UnderKind::none. All lie between the rails. Closed columns: round
// once.
geometry::Polyline under_points(const std::vector<Rung>& rungs, bool closed, UnderKind kind,
                                const Recipe& recipe);

// Needle-downs from near the first of `rungs` to near the last, for a top layer that comes back:
// along the middle; edge: out along one side, back along the other, then along the middle; zigzag:
// the zigzag goes there. No line is sewn twice. A column too narrow for any under-stitching gets
// the run along its middle all the same. Empty where there is no room.
geometry::Polyline through_points(const std::vector<Rung>& rungs, UnderKind kind,
                                  const Recipe& recipe);

}  // namespace buckram::digitise
