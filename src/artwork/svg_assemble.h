// The second pass of the SVG reader: from a scene to painted areas.
#pragma once

#include "artwork/drawing.h"
#include "artwork/svg_scene.h"

#include <string>

namespace buckram::artwork {

// Flattens, fills, strokes, clips. Throws Error{bad_artwork} past a limit or when nothing is
// painted.
Drawing assemble(Scene scene, const std::string& name, const SvgLimits& limits);

}  // namespace buckram::artwork
