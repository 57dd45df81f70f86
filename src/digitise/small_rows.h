// Rows of lettering smaller than the thread can draw.
//
// Letters are not known as such: a row is a chain of three or more shapes of one thread, of like
// height, each near the next. Its height is that of its tallest shape, so that the small letters
// of a word are judged by its capitals.
#pragma once

#include "artwork/artwork.h"
#include "digitise/recipe.h"

#include <vector>

namespace buckram::digitise {

// One connected shape of a region.
struct Shape {
  geometry::Box box;  // mm on the chart
  int thread = 0;
  std::string source;
};

// Smallest height at which letters read, sewn with the recipe's thread: 6.4 mm on caps and 5.0 mm
// on flats with size-40 thread (common practice, no source), in proportion for other threads.
double least_lettering_mm(const Recipe& recipe);

// A note of kind "small" for each row under that height, in the order of their first shapes.
// Laws: every row gets one note; none for fewer than three shapes, nor where one of the row's
// shapes is high enough. O(shapes²).
std::vector<artwork::Note> small_rows(const std::vector<Shape>& shapes, const Recipe& recipe);

}  // namespace buckram::digitise
