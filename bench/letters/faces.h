// Open fonts from Debian packages and their glyphs as SVG paths, read with FreeType.
#pragma once

#include <string>
#include <vector>

namespace letters {

struct Face {
  std::string name;  // short, for tables and file names
  std::string file;  // below /usr/share/fonts
};

// Sans, serif, slab, script, condensed, heavy: twelve faces.
const std::vector<Face>& faces();

// What is planned: Latin letters, digits, common signs.
const std::string& signs();

struct Glyph {
  char sign = 0;
  std::string svg;               // one path in font units, the view box is the outline's own box
  double width = 0, height = 0;  // of that box, in units of the capitals' height
  double x = 0, y = 0;           // its lower left corner from the pen, in the same units
};

// Every sign of `signs` that the face has. Empty when the file is not there.
std::vector<Glyph> glyphs(const Face& face, const std::string& signs);

}  // namespace letters
