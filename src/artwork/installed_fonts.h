// Which font file of this machine a name stands for. The one wrapper of Fontconfig.
#pragma once

#include "artwork/lettering.h"
#include "artwork/typeface.h"

#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace buckram::artwork {

struct FontWish {
  std::vector<std::string> families;  // first wanted first; generic ones as CSS names them
  int weight = 400;                   // 1 to 1000, CSS Fonts 3
  bool is_italic = false;
  friend auto operator<=>(const FontWish&, const FontWish&) = default;
};

struct FoundFont {
  std::string file;
  int index = 0;  // which font of the file
  std::string family;
  bool is_wished = false;  // of a family, weight and slant asked for, not a stand-in
};

// The installed OpenType or TrueType font nearest to the wish; nothing on a machine without. The
// same whatever the language of the machine.
std::optional<FoundFont> find_font(const FontWish& wish);

// A font by file, or by the name of an installed one, as "Roboto Slab" or "DejaVu Sans:bold"
// (Fontconfig's notation). Throws Error{bad_job}: not installed, with a near name, or not in the
// weight or slant asked for.
FoundFont font_named(const std::string& name);

// Throws Error{cannot_read}; {bad_artwork}: no font.
Typeface load(const FoundFont& font);

// The typefaces in use, each file loaded once.
class LoadedFonts {
 public:
  struct Entry {
    const Typeface* face;
    FoundFont font;
  };
  // nullptr where no font is installed that can be read. Throws Error{bad_artwork} naming `where`
  // past 500 different wishes.
  const Entry* find(const FontWish& wish, const std::string& where);

 private:
  const Typeface* face_of(const FoundFont& font);

  std::map<FontWish, std::optional<Entry>> entries_;
  std::map<std::pair<std::string, int>, std::optional<Typeface>> faces_;  // by file and index
};

}  // namespace buckram::artwork
