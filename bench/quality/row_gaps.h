// How evenly the rows of fills lie, read off the stitches.
#pragma once

#include "stitch/stitch.h"

namespace quality {

// Per cent of rows of fills that lie within 10 % of 0.40 mm from the next row beside them; 100
// without fills. Rows are stitches of the top layer over 1 mm long in the direction that most of an
// object's thread takes; beside each other are those that overlap by 1 mm and are under 1 mm apart.
double even_rows(const buckram::stitch::Plan& plan);

}  // namespace quality
