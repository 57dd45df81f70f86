// The cap's front as land: where the needle may go, how wide the gap is, what part is shown.
#pragma once

#include "report/contours.h"
#include "report/report.h"

#include <string>
#include <vector>

namespace buckram::report {

struct LevelLines {
  double level_mm = 0;
  std::vector<Contour> lines;
  std::vector<geometry::Ring> ground;  // at or above the level, even-odd; empty for 0.25
};

// Everything the drawings of the chart need of cap and mount, found once. Chart mm, y up.
struct Terrain {
  geometry::Box window;            // shown, on whole 5 mm
  geometry::Polygons reach;        // thinned to 0.02 mm
  bool has_seam = false;           // a centre seam that is sewn over
  bool has_bill_strip = false;     // a strip beside the bill seam that the foot cannot reach
  Field gap;                       // over the window, 0.5 mm apart
  std::vector<LevelLines> levels;  // 0.25, 0.5, 1.0, 1.5 ... up to 8 mm
  cap::GapField gap_field;
};

// O(window / 0.25 mm^2). The window holds the artwork with room for words beside it, the bill
// seam, and the field's top where that is near.
Terrain survey(const Subject& subject);

}  // namespace buckram::report
