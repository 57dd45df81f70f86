// Paint servers as thread sees them: one colour each.
#pragma once

#include "artwork/svg_style.h"
#include "artwork/xml_tree.h"

#include <optional>
#include <string>

namespace buckram::artwork {

struct MeanInk {
  std::optional<Ink> ink;   // nothing: the server paints nothing or is not understood
  std::string remark;       // for a note; empty when there is nothing to tell
  bool is_skipped = false;  // whether the remark is of something left out
};

// The mean of the gradient's colour over its length (offsets 0 to 1), whatever of it the shape
// shows; stops follow href from gradient to gradient. A single stop is its colour. Patterns and
// unknown servers give the fallback colour, if any.
MeanInk mean_ink(const XmlTree& tree, const StyleSheet& sheet, const Paint& paint,
                 const Viewport& viewport);

}  // namespace buckram::artwork
