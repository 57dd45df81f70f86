// Patterns of known coordinates, for learning a layout: what the shop saves on its own machine.
#pragma once

#include "machine/codec.h"

#include <string>
#include <string_view>
#include <vector>

namespace buckram::machine {

inline constexpr std::size_t kMostPatternSteps = 20'000;

struct Pattern {
  std::string name;
  std::vector<Step> steps;  // in units, from the start; the last one is an end
  bool operator==(const Pattern&) const = default;
};

struct PatternOptions {
  double unit_mm = 0.1;    // the machine's smallest step, 0.001 to 5
  double longest_mm = 12;  // the longest stitch it writes as one, at least 8 units
  int needles = 15;        // that changes can name, 1 to 99
  void check() const;      // throws Error{bad_job}
};

// Four: a square, a ladder of growing stitches, one of growing moves, and trims, changes and stops
// between known stitches. Law: every two quantities of a file (Quantity) differ in one of them, so
// that a field tells which it holds, but for those that the machine's own codes make equal.
std::vector<Pattern> patterns_for(const PatternOptions& options);
// Every stitch up to the longest that `seen` has not, along x and along y.
Pattern further_pattern(const std::vector<Pattern>& seen, int longest);

// CSV with the header op,x_mm,y_mm,needle: operations in words, machine mm from the start, the
// needle that a change goes on with. Law: read_pattern(write_pattern(p)) = p.
std::string write_pattern(const Pattern& pattern, double unit_mm);
// Throws Error{bad_stitches} with the line: unknown words, places that are no whole number of
// units, an end that is missing or not the last. Input is untrusted.
Pattern read_pattern(std::string_view csv, const std::string& where, double unit_mm);

}  // namespace buckram::machine
