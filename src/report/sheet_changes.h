// Page 1's table of changes.
#pragma once

#include "report/sheet.h"

namespace buckram::report {

// What to change, what it does by itself and what it costs in time over the order; from y down over
// the page's width. Returns the y below: `y` where no change is worth telling.
double draw_changes(Picture& picture, const Sheet& sheet, double y);

}  // namespace buckram::report
