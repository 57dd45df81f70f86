// Half see-through paint as thread can sew it: opaque pieces in the colours that show.
//
// Thread is opaque. A shape at 30 % over yellow and blue is sewn as two pieces, each in the colour
// the eye sees there. Over bare cloth the shape keeps its own colour: what cloth it will be sewn on
// is not known here.
#pragma once

#include "artwork/drawing.h"
#include "artwork/work_limit.h"

#include <vector>

namespace buckram::artwork {

struct GlassShape {
  Shape shape;
  double opacity = 1;
};

// From this on a shape counts as opaque: no thread shows the difference (estimate).
inline constexpr double kOpaque = 0.95;

// The pieces in paint order. Law: their union is the union of the shapes. Under half opacity a
// note tells.
std::vector<Shape> opaque_pieces(std::vector<GlassShape> shapes, double least_area, WorkLimit& work,
                                 std::vector<Note>& notes);

}  // namespace buckram::artwork
