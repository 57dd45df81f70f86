// Caps drawn once for all penetrations: what differs from cap to cap.
//
// Sobol points (Joe and Kuo's direction numbers, as in Boost.Random) with a random digital shift,
// turned normal, and moved towards the bad side (harder, wider gap, steeper) with importance
// weights, since the breaks come from there. The weights are not normalised by their own sum: that
// would bias the mean of what the shift favours by some per cent at 64 caps.
#pragma once

#include "needle/deflection.h"

#include <array>
#include <cstdint>
#include <vector>

namespace buckram::needle {

struct WeightedCap {
  CapDraw cap;
  double weight = 0;  // mean of f is sum weight f; the sum is 1 only on average
  bool operator==(const WeightedCap&) const = default;
};

// `n` caps; the same seed gives the same caps for every set-up (common random numbers).
std::vector<WeightedCap> draw_caps(const Mechanics& mechanics, int n, std::uint64_t seed);

// The same with the measured field's modes held: what is not known of the field differs between
// shops and mounts, not from cap to cap.
std::vector<WeightedCap> draw_caps(const Mechanics& mechanics, int n, std::uint64_t seed,
                                   const std::array<double, 3>& modes);

// A few caps that show how places differ, always the same ones: hardness, gap, slope and modes one
// standard deviation up or down in a fractional factorial design of resolution IV (Box, Hunter and
// Hunter, Statistics for Experimenters, 2005, chapter 6), which takes the mean of any quadratic
// exactly. Alignment and steel are not drawn but taken into the scatter of push and strength, where
// they are exact for a chance alone (but not for several chances on one cap).
inline constexpr std::size_t kPilotCaps = 16;
std::vector<WeightedCap> pilot_caps(const Mechanics& mechanics);

// The cap in the middle of everything.
CapDraw mean_cap();

}  // namespace buckram::needle
