// What a forecast found, place by place, so that the next one of a changed plan computes only the
// places that have changed: those whose stitch moved, and those with other thread around them.
#pragma once

#include "needle/evaluate.h"

#include <unordered_map>

namespace buckram::needle {

class Remembered {
 public:
  // `pilot` belongs to all places; `sampled` to those at the indices `at`.
  Remembered(const Places& places, const Mechanics& mechanics, const std::vector<WeightedCap>& caps,
             std::vector<PlaceChance> pilot, const std::vector<std::size_t>& at,
             std::vector<PlaceChance> sampled);

  // Chances belong together where needle, mechanics and caps are the same to the last bit.
  bool is_of(const Blade& blade, const Mechanics& mechanics,
             const std::vector<WeightedCap>& caps) const;
  // nullptr where that very place was not there. O(1).
  const PlaceChance* pilot(const Place& place) const;
  const PlaceChance* sampled(const Place& place) const;

 private:
  std::vector<Place> places_;
  Blade blade_;
  Mechanics mechanics_;
  std::vector<WeightedCap> caps_;
  std::vector<PlaceChance> pilot_, sampled_;
  std::unordered_multimap<std::size_t, std::size_t> by_hash_;   // place's hash to its index
  std::unordered_map<std::size_t, std::size_t> sampled_index_;  // place's index to the sample's
};

}  // namespace buckram::needle
