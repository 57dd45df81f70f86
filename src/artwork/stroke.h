// Strokes: from a middle line with a width to the area they paint.
#pragma once

#include "artwork/outline.h"
#include "artwork/svg_style.h"
#include "artwork/work_limit.h"
#include "geometry/geometry.h"

#include <string>
#include <vector>

namespace buckram::artwork {

struct StrokePaint {
  geometry::Polygons area;                // in the units of `map`'s target
  std::vector<geometry::Polyline> lines;  // middle lines, same units; of a stroke without dashes
  std::vector<bool> is_closed;            // of each line
  double width = 0;                       // 0 when the map makes it uneven
};

// `map` goes from the outline's units to the target's. `tolerance` in target units.
StrokePaint stroke_area(const Outline& outline, const StrokeLook& look, const geometry::Affine& map,
                        double tolerance, WorkLimit& work, const std::string& source);

// The largest factor by which the map lengthens anything (its larger singular value) and the
// smallest.
struct Stretch {
  double most = 1, least = 1;
};
Stretch stretch_of(const geometry::Affine& map);

}  // namespace buckram::artwork
