// Under-stitching of columns: what holds the cloth before the threads are laid across.
//
// A centre run for narrow ones, an edge run (out along one side, back along the other) for wider,
// edge run and open zigzag for the widest; on caps one step lighter than on flats (common
// practice, no source). Each goes from the column's start to its end and comes back, so that the
// top layer begins where the under-stitching did.
#pragma once

#include "digitise/digitise.h"

#include <vector>

namespace buckram::digitise {

enum class UnderKind { none, centre, edge, zigzag };

// By the width between rails.
UnderKind under_kind(double width_mm, Style style);

// Needle-downs along `rungs` (in sewing order), from near the first to near the last and back;
// empty for short columns and UnderKind::none. All lie between the rails. Closed columns: round
// once.
geometry::Polyline under_points(const std::vector<Rung>& rungs, bool closed, UnderKind kind,
                                const Recipe& recipe);

}  // namespace buckram::digitise
