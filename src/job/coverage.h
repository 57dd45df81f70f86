// How much of the artwork the top layer covers, for the verdict.
#pragma once

#include "advise/advise.h"
#include "artwork/artwork.h"
#include "digitise/digitise.h"
#include "stitch/stitch.h"

namespace buckram::job {

// Missed and spilled in per cent of the artwork's area, on a grid of 0.1 mm turned by 17.3 degrees
// (a grid along the rows lies by tens of times). Thread is drawn 0.4 mm wide; spilled counts thread
// more than 0.2 mm outside. What no object was made for counts as left out, not as missed.
advise::Coverage coverage(const stitch::Plan& plan, const artwork::Regions& regions,
                          const std::vector<digitise::Object>& objects, double thread_mm);

}  // namespace buckram::job
