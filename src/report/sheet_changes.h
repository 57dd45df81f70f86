// The tables of changes.
#pragma once

#include "report/sheet.h"

namespace buckram::report {

// What was changed before this plan (--auto), and what to change: what each does by itself, before
// and after, and what it costs in time over the order; from y down over the page's width, each in
// full. Returns the y below: `y` where no change is worth telling.
double draw_changes(Picture& picture, const Sheet& sheet, double y);

}  // namespace buckram::report
