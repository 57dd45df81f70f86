// The preview's parts: cloth as shaded surfaces, stitches as threads with relief and sheen.
//
// Light comes from the upper left. Cloth is shaded at the corners of a mesh and blended between
// them (H. Gouraud, IEEE Trans. Computers C-20(6), 1971). A thread is a round rod that arches from
// hole to hole; its sheen follows the fibre model of J. Kajiya and T. Kay (SIGGRAPH 1989): bright
// where the thread lies across the half vector between light and eye.
#pragma once

#include "report/canvas.h"
#include "report/cap_view.h"

namespace buckram::report {

struct Stage {
  CapView view;
  geometry::Affine to_pixels;  // from the view's picture mm
  double px_per_mm = 6;
  Colour cloth;
};

// Background, bill, crown, seams, eyelets and button.
void paint_cap(Pixels& pixels, const Stage& stage, const cap::Cap& cap);

// The stitches, drawn two or three times finer than the pixels and brought together, with the
// shadow that they cast on the cloth. O(sewn length).
void paint_stitches(Pixels& pixels, const Stage& stage, const stitch::Plan& plan);

// The light's direction in the view (x right, y up, z to the viewer), length 1.
Vec3 light_direction();

}  // namespace buckram::report
