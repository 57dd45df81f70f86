// How evenly a column's threads lie, read off the stitches alone.
#pragma once

#include "stitch/stitch.h"

namespace letters {

struct Rows {
  int n = 0;       // steps from one thread to the next within columns
  int uneven = 0;  // of them those more than 10 % off `nominal_mm`
};

// The step from one stitch of a column's top layer to the next, across the thread, at the middle of
// the column, where the spacing asked for holds: on a curve the outer rail opens and the inner
// closes. Stitches shorter than 1 mm and splits are left out.
Rows column_rows(const buckram::stitch::Plan& plan, double nominal_mm);

}  // namespace letters
