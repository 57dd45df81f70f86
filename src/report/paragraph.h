// Words set in lines: runs of different type, broken between words, never wider than told.
#pragma once

#include "report/canvas.h"

#include <string>
#include <vector>

namespace buckram::report {

struct Run {
  std::string words;
  Type type;
};

struct Setting {
  double width_mm = 100;
  double leading = 1.38;  // line to line, in sizes of the largest type in the paragraph
  int most_lines = 20;    // what does not fit ends in an ellipsis
  Anchor anchor = Anchor::start;
  bool is_balanced = false;  // lines of about the same length
};

struct Line {
  std::vector<Text> texts;  // x from the line's left edge, y = 0 on the base line
  double width_mm = 0;
};

// Breaks at spaces; a word wider than the line is cut with an ellipsis. No line is wider than
// `width_mm`. O(words).
std::vector<Line> set_lines(const std::vector<Run>& runs, const Setting& setting,
                            const TypeRule& rule);

// Draws the paragraph with its top at `y`, its left edge (or middle, or right edge, by the anchor)
// at `x`; returns the y below its last line.
double draw_paragraph(Picture& picture, double x, double y, const std::vector<Run>& runs,
                      const Setting& setting, const TypeRule& rule);

// Text with the marks **bold**; `bold` weighs it. Unpaired marks are kept as they are.
std::vector<Run> runs_of(const std::string& marked, const Type& type, int bold = 700);

}  // namespace buckram::report
