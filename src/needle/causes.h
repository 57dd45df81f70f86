// Why one place is dangerous and what would help there: both by computing its chance anew, without
// a cause or with a change, on the pilot's caps. Nothing is told that the mechanics do not bear
// out.
#pragma once

#include "needle/places.h"

#include <string>
#include <vector>

namespace buckram::needle {

enum class Cause { gap, slope, crowding, motion, hardness };

struct CauseShare {
  Cause cause = Cause::gap;
  double drop = 0;  // share of the place's chance that would go if the cause were nothing
};

struct Help {
  std::string words;  // an imperative: "clip the front's edges"
  double drop = 0;    // share of the place's chance that would go with it
};

struct PlaceCauses {
  std::vector<CauseShare> causes;  // those that matter, the largest first
  std::vector<Help> helps;         // likewise
};

// Causes and helps that take less than this share away are not told.
inline constexpr double kToldCause = 0.2, kToldHelp = 0.1;

// For every place of `entries`. Helps are steps that this mount, bench and cap have left: never
// beyond the mount's most raise, a hole's width, or a foot that would press on the seam; no clips
// nor pressing for fronts that are still cut panels. `locked`: keys of changes that are not to
// be made, and "bench.needle:sharp" or "bench.needle:thicker" where there is no such needle; one
// value of a key ("bench.raise_mm=2") bars nothing.
std::vector<PlaceCauses> causes_of(const stitch::Plan& plan, const cap::Setup& setup,
                                   const Mechanics& mechanics, const std::vector<double>& layers,
                                   const std::vector<int>& entries,
                                   const std::vector<std::string>& locked);

}  // namespace buckram::needle
