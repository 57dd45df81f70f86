// Which parts of a stroke's middle line still stand for the whole stroke.
#pragma once

#include "artwork/drawing.h"
#include "geometry/geometry.h"

#include <vector>

namespace buckram::artwork {

// The parts of the lines where nothing of the stroke's width is taken away. `before` is the
// stroke's area as drawn, `after` what is left of it.
std::vector<MiddleLine> whole_parts(const std::vector<MiddleLine>& lines,
                                    const geometry::Polygons& before,
                                    const geometry::Polygons& after);

}  // namespace buckram::artwork
