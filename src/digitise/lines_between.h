// Lines that show between shapes sewn over their ground: kept open, or named as lost. Not part of
// the door.
//
// Every shape is sewn wider than drawn by the compensation, for threads pull cloth together. Where
// a ground shows only as a line between two such shapes, both grow over it and 0.45 mm of navy
// becomes a twentieth of a millimetre. The ground goes on beneath both, so no cloth can show
// there, and a shape gives way by kGivesWay of the compensation wherever it stays wide enough for a
// column. Sewing the line once more on top was rejected: it costs a thread change.
#pragma once

#include "artwork/artwork.h"
#include "digitise/digitise.h"

#include <vector>

namespace buckram::digitise {

// Share of the compensation by which a shape gives way: 0.9 mm keeps the 1.0 mm of a column.
inline constexpr double kGivesWay = 0.75;

// Of each region the area to sew: its own, less what it gives way. Laws: within the region's own;
// less only within kGivesWay of the compensation from a line of another thread beneath it. Two
// offsets and three booleans for each region that others lie over.
std::vector<geometry::Polygons> giving_way(const artwork::Regions& regions, const Recipe& recipe);

// A note left_out for what shows in the artwork but not in the objects as planned, since nothing
// covers it or something else lies over it: parts of which less than half shows, whatever their
// size, and within the others whatever is wider than kLostMm and larger than kLostMm2. Parts that a
// note of `made` names already are not told twice.
inline constexpr double kLostMm = 0.4, kLostMm2 = 0.5;
std::vector<artwork::Note> lost_parts(const artwork::Regions& regions, const Digitised& made);

}  // namespace buckram::digitise
