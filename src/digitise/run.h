// Runs: single lines of stitches along the middle of what is too thin for a column.
#pragma once

#include "digitise/digitise.h"

#include <vector>

namespace buckram::digitise {

// Out and back along an open path, or round a closed one: from either end (tag 0 the first point,
// tag 1 the last), or from several places of a ring (tag = index into Run::path).
std::vector<Way> run_ways(const Run& run);

// Penetrations by that way. Laws: starts at way.entry, ends at way.exit; no stitch longer than the
// recipe's run_mm, none shorter than half of it unless the path itself is shorter; the way back
// goes down between the holes of the way out.
std::vector<Piece> sew_run(const Run& run, const geometry::Polygons& outline, const Way& way,
                           const Recipe& recipe, const Ties& ties);

// Needle-downs along a line, both ends included: the line's corners of more than 40 degrees are
// kept, between them stitches are equal and at most `stitch_mm`, fewer than that when a chord would
// leave the line by more than `deviation_mm`; none shorter than `shortest_mm` if the line allows.
geometry::Polyline run_points(const geometry::Polyline& line, double stitch_mm, double shortest_mm,
                              double deviation_mm = 0.15);

}  // namespace buckram::digitise
