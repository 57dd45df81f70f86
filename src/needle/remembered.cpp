#include "needle/remembered.h"

#include <bit>
#include <utility>

namespace buckram::needle {
namespace {

// Of what differs from place to place on one set-up; equality looks at all of it.
std::size_t hash_of(const Place& place) {
  std::uint64_t hash = 0;
  for (const double each :
       {place.gap.clearance_mm, place.gap.tape_mm, place.gap.bulge_slope.x, place.layers,
        place.force_n, place.motion.direction.x, place.motion.direction.y, place.motion.stop_s}) {
    // the mixing step of splitmix64 (Steele, Lea and Flood, OOPSLA 2014)
    hash = (hash ^ std::bit_cast<std::uint64_t>(each)) + 0x9e3779b97f4a7c15U;
    hash = (hash ^ (hash >> 30U)) * 0xbf58476d1ce4e5b9U;
    hash ^= hash >> 27U;
  }
  return hash;
}

}  // namespace

Remembered::Remembered(const Places& places, const Mechanics& mechanics,
                       const std::vector<WeightedCap>& caps, std::vector<PlaceChance> pilot,
                       const std::vector<std::size_t>& at, std::vector<PlaceChance> sampled)
    : places_(places.places),
      blade_(places.blade),
      mechanics_(mechanics),
      caps_(caps),
      pilot_(std::move(pilot)),
      sampled_(std::move(sampled)) {
  by_hash_.reserve(places_.size());
  for (std::size_t k = 0; k < places_.size(); ++k) by_hash_.emplace(hash_of(places_[k]), k);
  for (std::size_t j = 0; j < at.size(); ++j) sampled_index_.emplace(at[j], j);
}

bool Remembered::is_of(const Blade& blade, const Mechanics& mechanics,
                       const std::vector<WeightedCap>& caps) const {
  return blade_ == blade && mechanics_ == mechanics && caps_ == caps;
}

const PlaceChance* Remembered::pilot(const Place& place) const {
  const auto [from, to] = by_hash_.equal_range(hash_of(place));
  for (auto each = from; each != to; ++each) {
    if (places_[each->second] == place) return &pilot_[each->second];
  }
  return nullptr;
}

// Places that are the same have the same chances, but not all of them need be in the sample.
const PlaceChance* Remembered::sampled(const Place& place) const {
  const auto [from, to] = by_hash_.equal_range(hash_of(place));
  for (auto each = from; each != to; ++each) {
    const auto found = sampled_index_.find(each->second);
    if (found != sampled_index_.end() && places_[each->second] == place) {
      return &sampled_[found->second];
    }
  }
  return nullptr;
}

}  // namespace buckram::needle
