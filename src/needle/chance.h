// Chance of a break at one place over the drawn caps: the inner loop of every forecast.
#pragma once

#include "needle/draws.h"
#include "needle/failure.h"

#include <array>
#include <vector>

namespace buckram::needle {

// Four caps side by side. What is left over of the last four has weight 0.
struct FourCaps {
  CapDrawOf<base::Four> draw;
  base::Four weight;
};
std::vector<FourCaps> by_fours(const std::vector<WeightedCap>& caps);

struct PlaceChance {
  double hazard = 0;                // mean over the caps
  std::array<double, 4> by_mode{};  // the same by Mode, each as if alone
  std::vector<double> by_cap;       // chance on each cap; empty after the pilot
};

// `by_cap`: chance on each cap, four for each of `caps`, beside the answer, whose own list stays
// empty. In registers of four where the machine has them and GCC made this program, else in two of
// two: the same to the last bit.
PlaceChance chance_at(const Place& place, const Blade& blade, const Mechanics& mechanics,
                      const std::vector<FourCaps>& caps, const Care& care,
                      std::vector<double>& by_cap);

// The same in registers that every amd64 has.
PlaceChance plain_chance_at(const Place& place, const Blade& blade, const Mechanics& mechanics,
                            const std::vector<FourCaps>& caps, const Care& care,
                            std::vector<double>& by_cap);

}  // namespace buckram::needle
