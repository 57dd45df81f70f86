// Which font file of this machine a name stands for. The one wrapper of Fontconfig.
#pragma once

#include "artwork/typeface.h"

#include <map>
#include <optional>
#include <string>
#include <tuple>
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

// The installed font nearest to the wish; nothing on a machine without fonts.
std::optional<FoundFont> find_font(const FontWish& wish);

// A font by file, or by the name of an installed one, as "Lobster" or "DejaVu Sans:bold"
// (Fontconfig's notation). Throws Error{bad_job}: not installed, with a near name; cannot_read.
FoundFont font_named(const std::string& name);

// The typefaces in use, each loaded once.
class Shelf {
 public:
  struct Book {
    Typeface face;
    FoundFont font;
  };
  // nullptr where nothing is installed.
  const Book* find(const FontWish& wish);

 private:
  std::map<FontWish, std::optional<Book>> books_;
};

Typeface load(const FoundFont& font);

}  // namespace buckram::artwork
