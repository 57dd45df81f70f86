// Sections of a fill: stacks of rows that do not break, and how they hang together.
//
// A strip between two neighbouring rows falls into connected parts; a part with one span below and
// one above carries a section on, any other part ends those below and starts those above. Parts
// are found by walking the outline from crossing to crossing (union-find), not by comparing x
// ranges: exact for slanted arms thinner than a row and for slits between rows.
#pragma once

#include "digitise/fill_rows.h"

#include <vector>

namespace buckram::digitise {

// From one end of a section to an end of another, through the strip between them.
struct Join {
  int section = 0;       // the other one
  bool own_top = false;  // which end of this section
  bool other_top = false;
};

struct Section {
  std::vector<int> spans;    // Rows::spans, from the lowest up
  std::vector<Join> joins;   // in order of x, bottom ends first
  bool open_bottom = false;  // nothing but outline below the first row
  bool open_top = false;     // nothing but outline above the last row
};

struct Sections {
  std::vector<Section> list;
  std::vector<int> of_span;   // section of each span
  std::vector<int> place_in;  // index of each span in its section
};

// Sections of the rows. Spans of one connected area hang together through joins. O(spans).
Sections make_sections(const Rows& rows);

// The same with section s cut before its span at index `at` (0 < at < size): the upper part
// becomes a new section at the end of the list, joined to the lower.
void cut_section(Sections& sections, int s, int at);

}  // namespace buckram::digitise
