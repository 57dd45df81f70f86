#include "machine/machine.h"

#include <algorithm>

namespace buckram::machine {

Format format_of(std::string_view text) {
  const std::size_t begin = text.find_first_not_of(" \t\r\n");
  if (begin == std::string_view::npos) return Format::gcode;
  if (text[begin] == '{' || text[begin] == '[') return Format::plan;
  const std::string_view line = text.substr(begin, text.find('\n', begin) - begin);
  return line.find("x_mm") != std::string_view::npos ? Format::csv : Format::gcode;
}

stitch::Plan read_stitches(std::string_view text, const std::string& where,
                           const cap::Setup& setup) {
  switch (format_of(text)) {
    case Format::plan:
      return stitch::read_plan(text, where);
    case Format::csv:
      return read_csv(text, where);
    case Format::gcode:
      break;
  }
  return read_gcode(text, where, setup);
}

}  // namespace buckram::machine
