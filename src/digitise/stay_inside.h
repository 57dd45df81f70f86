// Whether penetrations and the thread between them stay on the cloth their object covers: the
// craft limit (stitch/limits.h), asked before anything is laid.
#pragma once

#include "digitise/digitise.h"

namespace buckram::digitise {

// The outline with what the limit allows: the thread's middle may lie this far outside, less a
// hundredth for rounding.
stitch::Within allowed_cloth(const geometry::Polygons& outline, const Recipe& recipe);

// Every stitch of the line.
bool stays_inside(const geometry::Polyline& points, const stitch::Within& cloth);
// Every stitch but travel, joints between pieces included.
bool stays_inside(const std::vector<Piece>& pieces, const stitch::Within& cloth);

// Takes away the object's ways by which some of its thread leaves its cloth.
void drop_stray_ways(Object& object, const Recipe& recipe);

}  // namespace buckram::digitise
