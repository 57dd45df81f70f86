// Pictures as SVG 1.1.
#pragma once

#include "report/picture.h"

#include <string>

namespace buckram::report {

struct SvgPage {
  geometry::Box view;  // mm; one user unit is 1 mm
  std::string title;   // read out by screen readers
  std::string description;
};

// Well-formed SVG 1.1, coordinates to 0.01 mm; a path with several pens is written once and used
// again. Same picture, same bytes. O(points).
std::string write_svg(const Picture& picture, const SvgPage& page);

}  // namespace buckram::report
