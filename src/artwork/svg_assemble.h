// The second pass over an SVG file: the scene's outlines as areas of one colour, in paint order.
// Not part of the door.
#pragma once

#include "artwork/svg_scene.h"

namespace buckram::artwork {

// Flattens to 1/4000 of the scene's size, outlines strokes, applies clips, and turns what is partly
// transparent into opaque pieces of the colour that shows: blended with each shape beneath it;
// over bare cloth below half opacity the colour itself is kept, with a note. Throws
// Error{bad_artwork}: nothing painted, or more points than the limit.
Drawing assemble(const Scene& scene, const std::string& name, const SvgLimits& limits);

}  // namespace buckram::artwork
