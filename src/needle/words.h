// The worst places, each in one sentence that a sewer understands.
#pragma once

#include "needle/evaluate.h"

#include <vector>

namespace buckram::needle {

// At most 20, by chance, at least 5 mm apart.
std::vector<WorstPlace> worst_places(const stitch::Plan& plan, const cap::Setup& setup,
                                     const Mechanics& mechanics, const Places& places,
                                     const Evaluation& found);

// "on the seam, 9 mm above the bill"; "12 mm right of the seam, 30 mm above the bill".
std::string place_in_words(const cap::Setup& setup, geometry::Point at);

}  // namespace buckram::needle
