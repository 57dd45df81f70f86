// The tacking run of a seamed front: what holds cloth and backing together before anything dense.
#pragma once

#include "digitise/objects.h"
#include "digitise/recipe.h"

#include <optional>

namespace buckram::digitise {

struct Tacking {
  Object object;                             // id, thread and order are left to the caller
  int way = 0;                               // of the object's: the one that ends nearest
  std::optional<geometry::Polyline> travel;  // from there to `next`, both left out, if all hidden
};

// A loop of long stitches on both sides of the centre seam, as high as what the objects will cover
// allows, to be sewn first with their first thread: without it the two panels creep apart from the
// backing as the first dense stitches pull at the seam (common practice, no source). None where
// the front has no seam, or where no loop at least 8 mm high would be hidden: thread that shows is
// worse. It crosses the seam in single stitches and goes down nowhere within 1.5 mm of it; it lies
// at least 1.2 mm inside what covers it, so that its locks are hidden too. `next`: where the needle
// goes down after it. O(objects' outline points log points).
std::optional<Tacking> tacking_run(const std::vector<Object>& objects, geometry::Point next,
                                   const Recipe& recipe);

}  // namespace buckram::digitise
