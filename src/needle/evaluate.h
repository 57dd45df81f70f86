// Chance of a break at every place, over the drawn caps.
#pragma once

#include "needle/chance.h"
#include "needle/places.h"
#include "needle/sample.h"

#include <array>
#include <memory>
#include <vector>

namespace buckram::needle {

struct Evaluation {
  std::vector<double> hazard;       // per place
  double breaks = 0;                // their sum, in order
  double clean_cap = 1;             // mean over caps of prod(1 - p)
  std::array<double, 4> by_mode{};  // breaks by Mode
  std::vector<Mode> mode;           // per place: the likeliest
};

// Every place on every cap. O(places * caps), in parallel; the same result for any number of
// threads.
Evaluation evaluate(const Places& places, const Mechanics& mechanics,
                    const std::vector<WeightedCap>& caps);

// A former evaluation, to look places up in that are the same to the last bit.
class Remembered;

struct Ranked {
  Evaluation all;
  Sample sample;  // places that stand for all; weight times hazard adds up to the breaks
  std::shared_ptr<const Remembered> remembered;  // where asked for
};

// The same for a whole plan at a fraction of the work. A pilot of a few caps ranks the places; a
// sample of kSampled, drawn along the ranking, gets all caps; every other place keeps the pilot's
// chance times what all caps made of its neighbours in the ranking, bending apart from the rest,
// since places of like chance rise and fall alike from cap to cap. Within 1 % of evaluate() with
// the same caps on a logo of blocks (tests/needle/forecast_test.cpp).
// `former`: places it has seen are looked up, not computed; the result is the same to the last bit.
inline constexpr std::size_t kSampled = 144;
Ranked evaluate_ranked(const Places& places, const Mechanics& mechanics,
                       const std::vector<WeightedCap>& caps, const Remembered* former = nullptr,
                       bool remember = false);

}  // namespace buckram::needle
