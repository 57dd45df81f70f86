#include "machine/gcode_words.h"

#include "base/base.h"

#include <fmt/format.h>

#include <cctype>
#include <charconv>
#include <cmath>

namespace buckram::machine {
namespace {

[[noreturn]] void fail(const std::string& where, const std::string& what) {
  throw base::Error{base::ErrorCode::bad_stitches, what, where,
                    "Lines hold words such as G1 X2.5 Y-1.25 and comments in brackets"};
}

// What may be shown of a byte that does not belong there.
std::string shown(char c) {
  if (c >= ' ' && c <= '~') return fmt::format("'{}'", c);
  return fmt::format("byte {}", static_cast<unsigned char>(c));
}

// The line without comments and spaces; comments go to `out`.
std::string take_comments(std::string_view line, const std::string& where, GcodeLine& out) {
  std::string rest;
  for (std::size_t i = 0; i < line.size(); ++i) {
    const char c = line[i];
    if (c == ';') {
      out.comments.emplace_back(line.substr(i + 1));
      break;
    }
    if (c == '(') {
      const std::size_t close = line.find(')', i);
      if (close == std::string_view::npos) fail(where, "a comment is not closed");
      out.comments.emplace_back(line.substr(i + 1, close - i - 1));
      i = close;
      continue;
    }
    if (c != ' ' && c != '\t' && c != '\r') rest += c;
  }
  return rest;
}

Word take_word(std::string_view& text, const std::string& where) {
  const char letter = static_cast<char>(std::toupper(static_cast<unsigned char>(text.front())));
  if (letter < 'A' || letter > 'Z') {
    fail(where, fmt::format("wants a letter, found {}", shown(text.front())));
  }
  text.remove_prefix(1);
  if (text.starts_with('+')) text.remove_prefix(1);
  const bool is_number = !text.empty() && (std::isdigit(static_cast<unsigned char>(text.front())) ||
                                           text.front() == '-' || text.front() == '.');
  double value = 0;
  const char* last = text.data() + text.size();
  const auto [end, trouble] = std::from_chars(text.data(), last, value, std::chars_format::fixed);
  if (!is_number || trouble != std::errc{} || !std::isfinite(value)) {
    fail(where, fmt::format("{} is not followed by a number", letter));
  }
  text.remove_prefix(static_cast<std::size_t>(end - text.data()));
  return {letter, value};
}

}  // namespace

GcodeLine read_line(std::string_view line, const std::string& where) {
  GcodeLine out;
  const std::string rest = take_comments(line, where, out);
  std::string_view text = rest;
  if (text == "%") return out;
  if (text.starts_with('/')) text.remove_prefix(1);  // a line that may be skipped; it is not
  while (!text.empty()) out.words.push_back(take_word(text, where));
  return out;
}

}  // namespace buckram::machine
