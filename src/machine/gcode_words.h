// One line of G-code as words and comments (RS-274/NGC, section 3.3: letter-number words, any
// case, spaces anywhere outside comments, comments in brackets or after a semicolon).
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace buckram::machine {

struct Word {
  char letter = 0;   // upper case
  double value = 0;  // finite
};

struct GcodeLine {
  std::vector<Word> words;
  std::vector<std::string> comments;  // without brackets
};

// Throws Error{bad_stitches} with `where` when the line is not made of words and comments.
GcodeLine read_line(std::string_view line, const std::string& where);

}  // namespace buckram::machine
