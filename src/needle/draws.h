// Caps drawn once for all penetrations: what differs from cap to cap.
//
// Sobol points (Joe and Kuo's direction numbers, as in Boost.Random) with a random digital shift,
// turned normal, and moved towards the bad side (harder, wider gap, steeper) with importance
// weights, since the breaks come from there.
#pragma once

#include "needle/deflection.h"

#include <cstdint>
#include <vector>

namespace buckram::needle {

struct WeightedCap {
  CapDraw cap;
  double weight = 0;  // sum 1
};

// `n` caps; the same seed gives the same caps for every set-up (common random numbers).
std::vector<WeightedCap> draw_caps(const Mechanics& mechanics, int n, std::uint64_t seed);

// The cap in the middle of everything.
CapDraw mean_cap();

}  // namespace buckram::needle
