// The threads a shop has, and which one is nearest to a colour.
#pragma once

#include "artwork/colour.h"

#include <string>
#include <string_view>
#include <vector>

namespace buckram::artwork {

struct Thread {
  std::string name;
  std::string number;  // the shop's or the spool's own
  Rgb colour;
  double tex = 27;  // g per 1000 m; 27 is the usual size 40
  friend bool operator==(const Thread&, const Thread&) = default;
};

// CSV with a header line `name,number,rgb,tex` (rgb as #rrggbb), or TOML with [[thread]] tables of
// the same keys; told apart by content. Throws Error{bad_data} with the line and what is wrong
// with it: no threads, a colour that is none, tex outside 5 to 200, a name given twice.
std::vector<Thread> read_threads(std::string_view text, const std::string& where);

// Index of the thread with the least CIEDE2000 difference; the first of equals.
int nearest_thread(Rgb colour, const std::vector<Thread>& threads);

}  // namespace buckram::artwork
