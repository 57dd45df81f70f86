// Numbers, lengths, lists and transforms as SVG and CSS write them.
#pragma once

#include "geometry/geometry.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace buckram::artwork {

std::string_view trimmed(std::string_view text);  // without blanks at both ends
std::string lower_case(std::string_view text);    // ASCII
bool is_blank(char c);                            // space, tab, line feed, return, form feed
// Splits at blanks; no empty parts.
std::vector<std::string_view> words_of(std::string_view text);

// Reads from a text piece by piece. Reading past the end is harmless.
class Scanner {
 public:
  explicit Scanner(std::string_view text) : rest_(text) {}
  // Every look skips blanks first.
  bool done();        // nothing left but blanks
  char peek();        // 0 at the end
  bool skip(char c);  // takes c if it comes next
  void skip_comma();  // blanks and at most one comma
  // SVG number: sign, digits, point, exponent; ends where the next character cannot belong to it
  // ("1.5.5" is two). Nothing, and nothing taken, where none starts or it is not finite.
  std::optional<double> number();
  std::optional<bool> flag();      // arc flag: a single 0 or 1, no separator needed
  std::string_view word();         // letters and '-', possibly none; blanks are not skipped
  std::string_view until(char c);  // up to c, which is taken too; the rest when c is missing
  std::string_view rest() const { return rest_; }

 private:
  void skip_blanks();
  std::string_view rest_;
};

// What lengths refer to: percentages to the nearest viewport, em to the font size.
struct LengthBase {
  double percent_of = 0;  // user units that 100 % stands for
  double em = 16;         // user units
};

// A length in user units (CSS px; CSS Values 3, section 5.2). Nothing when it is no length.
std::optional<double> parse_length(std::string_view text, const LengthBase& base);
// mm, when the length is written in mm, cm, Q, in, pt or pc.
std::optional<double> parse_physical_mm(std::string_view text);

// A list of numbers separated by blanks and commas. `complete` tells whether all could be read.
struct NumberList {
  std::vector<double> values;
  bool complete = true;
};
NumberList parse_numbers(std::string_view text);

// A transform list (SVG 1.1, 7.6, and CSS forms with px and deg). Nothing on an error: the element
// is then drawn without, as the recommendation asks.
std::optional<geometry::Affine> parse_transform(std::string_view text);

}  // namespace buckram::artwork
