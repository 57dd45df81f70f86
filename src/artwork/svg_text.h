// Text of an SVG file set into outlines with the fonts installed here (SVG 1.1, chapter 10): lines
// and chunks, tspan, x y dx dy, anchors, spacing, text along a path.
#pragma once

#include "artwork/installed_fonts.h"
#include "artwork/svg_characters.h"

#include <vector>

namespace buckram::artwork {

// Letters of one look, in the text element's user units.
struct TextRun {
  Outline outline;
  int element = 0;  // the innermost one that holds them
  Style style;
};

struct TextLayout {
  std::vector<TextRun> runs;  // in the order of the text
  std::vector<TextRemark> remarks;
};

// What the text element paints. `style` is its computed style. Letters come out one after another
// in reading order of the font's script; vertical and two-way text are not set. Throws
// Error{bad_artwork} when no letters are left or too many fonts are asked for.
TextLayout lay_text(const XmlTree& tree, int element, const StyleSheet& sheet, const Style& style,
                    const Viewport& viewport, LoadedFonts& fonts, WorkLeft& left);

}  // namespace buckram::artwork
