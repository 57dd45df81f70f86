// What drives the breaks: the drop when one cause is set to nothing.
#pragma once

#include "needle/sample.h"

#include <cstdint>
#include <vector>

namespace buckram::needle {

// Evaluated anew on the sample with common draws: without gap, without
// slope, without the seam, without thread sewn before, with the frame at rest, without the
// stiffener, without buckling. Shares of the drops, sum 1 (all 0 where nothing drops).
Drivers drivers(const stitch::Plan& plan, const cap::Setup& setup, const Mechanics& mechanics,
                const std::vector<double>& layers, const Sample& sample, std::uint64_t seed);

// The same places and the same cap with one cause set to nothing.
void without_gap(Place& place);
void without_slope(Place& place);
cap::Setup without_stiffener(cap::Setup setup);

}  // namespace buckram::needle
