// How evenly a column's threads lie, read off the stitches alone.
#pragma once

#include "stitch/stitch.h"

#include <array>

namespace letters {

// Why a step is off the spacing asked for, the first that holds.
enum class Cause {
  curve,  // the threads turn so much that an even middle would open the outer edge too far
  taper,  // the column grows or shrinks by more than a tenth from one thread to the next
  end,    // within a width of the column's end, where rungs lean and lock
  other,
};
inline constexpr int kCauses = 4;

struct Rows {
  int n = 0;                            // steps from one thread to the next within columns
  int uneven = 0;                       // of them those more than 10 % off `nominal_mm`
  std::array<int, kCauses> by_cause{};  // of these, by Cause
};

// The step from one stitch of a column's top layer to the next, across the thread, at the middle of
// the column, where the spacing asked for holds: on a curve the outer rail opens and the inner
// closes. Stitches shorter than 1 mm and splits are left out.
Rows column_rows(const buckram::stitch::Plan& plan, double nominal_mm);

}  // namespace letters
