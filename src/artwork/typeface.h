// The letters of an OpenType font: which ones a text takes, how far apart they stand, how they are
// drawn. The one wrapper of HarfBuzz.
#pragma once

#include "artwork/outline.h"

#include <memory>
#include <string>
#include <string_view>
#include <vector>

namespace buckram::artwork {

// One drawn letter with the marks on it, or several letters joined by the font. Measures are in em:
// 1 is the font size. The origin lies on the base line where the pen stands, y points down.
struct Letter {
  Outline outline;  // filled by the nonzero rule; empty for blanks
  double advance = 0;
  std::size_t byte = 0;     // of the text: where what it stands for begins
  bool is_missing = false;  // the font has no such letter, or no such mark
};

class Typeface {
 public:
  // A font file's bytes and which of its fonts. Throws Error{bad_artwork} naming `where`.
  Typeface(std::string_view bytes, int index, const std::string& where);
  ~Typeface();
  Typeface(Typeface&&) noexcept;
  Typeface& operator=(Typeface&&) noexcept;

  // The letters of UTF-8 text from left to right, kerned; joined into ligatures where `may_join`.
  // Bytes that are no UTF-8 become missing letters. O(text).
  std::vector<Letter> letters(std::string_view text, bool may_join) const;

  // Heights above the base line, em: of the box of the font, of a small x.
  double ascent() const;
  double descent() const;  // below the base line, positive
  double x_height() const;

 private:
  struct Font;
  std::unique_ptr<Font> font_;
};

}  // namespace buckram::artwork
