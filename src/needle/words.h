// The worst places, each in one sentence that a sewer understands.
#pragma once

#include "needle/evaluate.h"

#include <string>
#include <vector>

namespace buckram::needle {

struct Sewing {
  const stitch::Plan& plan;
  const cap::Setup& setup;
  const Mechanics& mechanics;
  const std::vector<double>& layers;  // crowding()
};

// At most 20, by chance, at least 5 mm apart. Why: the causes that matter most at that place,
// worked out there (causes.h). What helps: the two steps that lower its chance most, of those that
// mount and bench have left and that are not locked; none where the chance is under one in a
// million caps.
std::vector<WorstPlace> worst_places(const Sewing& sewing, const Places& places,
                                     const Evaluation& found,
                                     const std::vector<std::string>& locked);

// "on the seam, 9 mm above the bill"; "12 mm right of the seam, 30 mm above the bill".
std::string place_in_words(const cap::Setup& setup, geometry::Point at);

}  // namespace buckram::needle
