// Letters on the centre seam, moved by a hair so that no stem lies half on it.
//
// A needle that goes down on the shoulder of a folded seam is carried sideways: a stem whose edge
// lies there is sewn better centred on the seam or clear of it (common practice, no source). Stands
// between placing the artwork and finding what shows, so that the ground under a letter closes up
// behind it. Only lettering is moved: three pieces or more of one colour in a row. The word keeps
// its ends, and its other letters share the shift so that no gap looks wrong.
//
// Rejected: moving the whole design, which takes what stands in the middle off it; moving the one
// letter alone, which changes two gaps of about 1.5 mm by a third.
#pragma once

#include "artwork/drawing.h"

namespace buckram::artwork {

struct SeamSpacing {
  double clear_mm = 1.5;  // how far a stem's edges are to be from the seam, x = 0 on the chart
  double most_mm = 0.5;   // no letter is moved further
};

struct Spaced {
  Drawing drawing;
  std::vector<Note> notes;  // kind moved, one a word; `at` in mm on the chart
};

// `placement`: user units to chart, a similarity without rotation (placement_matrix).
// Laws: no piece moves by more than most_mm, and sideways only; the first and last letter of a word
// keep their places unless one of them is itself the letter at the seam; no gap between two letters
// loses more than a third; shapes that overlap a letter, or lie within 1 mm of it, keep the whole
// word where it is, grounds that reach 1 mm past it on all sides apart; what is moved leaves fewer
// stems half on the seam. O(pieces^2) boxes.
Spaced space_at_seam(Drawing drawing, const geometry::Affine& placement,
                     const SeamSpacing& spacing = {});

}  // namespace buckram::artwork
