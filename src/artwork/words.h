// Words among painted pieces: letters of one colour that stand in a row. Not part of the door.
#pragma once

#include "artwork/drawing.h"

#include <vector>

namespace buckram::artwork {

// A connected piece of a shape, placed on the chart, mm.
struct PaintedPiece {
  int shape = 0;    // index into Drawing::shapes
  int polygon = 0;  // ... and into its area
  geometry::Polygon area;
  geometry::Box box;
  Rgb colour;
};
std::vector<PaintedPiece> painted_pieces(const Drawing& drawing, const geometry::Affine& placement);

struct WordLetter {
  std::vector<int> pieces;  // the letter itself first, then its dots and accents
  geometry::Box box;        // of the letter itself
};
using Word = std::vector<WordLetter>;  // left to right

// The words with a letter whose box meets x0 <= x <= x1: neighbours are pieces of one colour
// between 2.5 and 30 mm tall, at most 2.2 times as tall as each other, that share half of the
// smaller one's height and stand no more than 0.8 heights apart; a smaller piece above or below
// goes with its letter. At least three letters make a word. O(pieces^2) boxes.
std::vector<Word> words_at(const std::vector<PaintedPiece>& pieces, double x0, double x1);

}  // namespace buckram::artwork
