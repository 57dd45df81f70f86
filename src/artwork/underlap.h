// How far a region goes on beneath what is sewn over it. Not part of the door.
#pragma once

#include "artwork/regions.h"

namespace buckram::artwork {

// Sets Region::sewn of all regions (by paint order): what shows, and beneath later regions
// - the underlap along every edge that they share, so that no cloth shows between neighbours;
// - gaps narrower than options.run_under_mm whole: a ground goes on beneath lettering and lines
//   as one piece of cloth, where cutting round each letter would leave it in scraps.
// O(regions^2) boxes, and for those that meet two offsets and a few booleans each.
void grow_under(std::vector<Region>& regions, const RegionOptions& options);

}  // namespace buckram::artwork
