// The characters of a text element of an SVG file, with what says how and where each is set
// (SVG 1.1, chapter 10): the first half of setting text; the second is svg_text.h.
#pragma once

#include "artwork/svg_style.h"
#include "artwork/xml_tree.h"

#include <optional>
#include <string>
#include <vector>

namespace buckram::artwork {

// What may still be set of one file. Whoever takes the last throws Error{bad_artwork}.
struct WorkLeft {
  std::size_t points = 0;   // of outlines
  std::size_t letters = 0;  // characters of text and elements inside it
};

struct Character {
  std::string bytes;  // one code point
  int look = 0;       // index into SvgCharacters::looks
  int path = -1;      // the textPath it runs along
  std::optional<double> x, y;
  std::optional<double> dx, dy;
};

// Characters with one look, of one element.
struct CharacterLook {
  int element = 0;
  Style style;
};

struct TextRemark {
  int element = 0;
  bool is_lost = false;  // something is not drawn; otherwise it is drawn differently
  std::string why;
};

struct SvgCharacters {
  std::vector<Character> characters;  // in reading order, blanks collapsed (SVG 2, 11.7.1)
  std::vector<CharacterLook> looks;
  std::vector<TextRemark> remarks;
};

// Of a text element with this computed style. Throws Error{bad_artwork} when no letters are left.
SvgCharacters characters_of(const XmlTree& tree, int element, const StyleSheet& sheet,
                            const Style& style, const Viewport& viewport, WorkLeft& left);

}  // namespace buckram::artwork
