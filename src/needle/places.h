// Every penetration of a plan on a set-up, reduced to what does not differ from cap to cap.
#pragma once

#include "needle/deflection.h"

#include <vector>

namespace buckram::needle {

struct Places {
  std::vector<int> entries;   // `sew` entries, in order
  std::vector<Place> places;  // one for each
  Blade blade;
};

// O(entries) look-ups of the gap field; in parallel. `entries` empty: every `sew` entry of the
// plan. `layers`: thread already sewn, per entry (crowding()).
Places places_of(const stitch::Plan& plan, const cap::Setup& setup, const Mechanics& mechanics,
                 const std::vector<double>& layers, std::vector<int> entries = {});

}  // namespace buckram::needle
