// Stitches drawn as threads, or shaded by hazard. Pictures are in chart mm, y down.
#pragma once

#include "report/picture.h"
#include "stitch/stitch.h"

#include <span>

namespace buckram::report {

// The reference look's three strokes: dark edge, body, light.
struct ThreadStrokes {
  double edge_mm = 0.42, body_mm = 0.31, light_mm = 0.09;
};
struct ThreadColours {
  Colour edge, body, light;
};
// Edge darkened by 38 %, more for threads near the paper's own lightness; light by 45 % at 70 %.
ThreadColours thread_colours(Colour thread, Colour paper);

// One shape a block and kind of stroke, in sewing order, true width: cover and gaps show.
Picture draw_threads(const stitch::Plan& plan, Colour paper, const ThreadStrokes& strokes = {});
// The top layer's stitches as thin single lines in one ink.
Picture draw_faint(const stitch::Plan& plan, const Pen& pen);
// The outline of what each thread covers of each artwork element, to about 0.15 mm; what later ones
// cover is blanked with `paper`, so that the artwork's own edges stay. O(sewn area / 0.02 mm2).
Picture draw_outlines(const stitch::Plan& plan, Colour paper, const Pen& pen);
// Six classes of chance a stitch, the worst on top; `hazard` is per entry.
Picture draw_hazard(const stitch::Plan& plan, std::span<const double> hazard);
// The thread of one block; a chain that goes on from the block before starts at its last place.
Path block_path(const stitch::Plan& plan, const stitch::Block& block);

}  // namespace buckram::report
