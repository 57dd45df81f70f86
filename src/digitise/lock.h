// Locks: a few small stitches that keep a thread's end from slipping out.
#pragma once

#include "geometry/geometry.h"

namespace buckram::digitise {

// Four points, three stitches: out from `at` in the direction `along` (need not be of length 1),
// across, and back to `at`. Each stitch is 0.7 to 1.0 mm (step_mm is brought into that range) and
// no two of the first three points are nearer than 0.7 mm: never twice in one hole on the way.
// All stay inside `inside`: when they do not fit in the direction given, others are tried, turned
// by steps of 15 degrees, and when none fits, smaller ones (down to 0.3 mm) along the first
// direction in which they fit. At a tip too thin for any they run to and fro along `along`.
geometry::Polyline lock_points(geometry::Point at, geometry::Point along, double step_mm,
                               const geometry::Polygons& inside);

}  // namespace buckram::digitise
