// Lettering typed in: a text and a font become a drawing.
#pragma once

#include "artwork/drawing.h"

#include <string>

namespace buckram::artwork {

struct Lettering {
  std::string text;  // UTF-8; a line feed starts another line, lines are centred
  std::string font =
      "Roboto:bold";  // an installed font by name ("Roboto Slab", "DejaVu Sans:bold"), or a file
  Rgb colour;
  double arc_deg = 0;            // what a line spans: 0 straight, above 0 an arch, below a bowl
  double letter_spacing_em = 0;  // more room between letters, in font sizes; -0.2 to 2
};

// Whether a font's name is the path of its file: it holds a '/' or ends in .ttf, .otf, .ttc.
bool is_font_file(const std::string& name);

// One shape a line, named by its text. The font size is 10 user units, the origin lies at the left
// end of the first line's base line, y points down. On an arc each letter stands upright on the
// circle that the base line is bent to, its middle letter where it was; the line's length is kept.
// Throws Error{bad_job}: no text, no such font, a letter that the font has not; {cannot_read}: no
// such file; {bad_artwork}: the file is no font.
Drawing read_lettering(const Lettering& lettering);

}  // namespace buckram::artwork
