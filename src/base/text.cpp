#include "base/text.h"

#include <fmt/format.h>

#include <algorithm>

namespace buckram::base {
namespace {

// Bytes of the well-formed character at the front, or 0 when there is none (RFC 3629, section 4).
std::size_t length_of_first(std::string_view text) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  const unsigned char lead = byte(0);
  if (lead < 0x80) return 1;
  const std::size_t n = lead >= 0xc2 && lead <= 0xdf ? 2 : lead >= 0xe0 && lead <= 0xef ? 3 : 4;
  if (lead < 0xc2 || lead > 0xf4 || text.size() < n) return 0;
  // The second byte's range keeps out long forms, surrogates and what lies above U+10FFFF.
  const unsigned char low = lead == 0xe0 ? 0xa0 : lead == 0xf0 ? 0x90 : 0x80;
  const unsigned char high = lead == 0xed ? 0x9f : lead == 0xf4 ? 0x8f : 0xbf;
  if (byte(1) < low || byte(1) > high) return 0;
  for (std::size_t i = 2; i < n; ++i) {
    if (byte(i) < 0x80 || byte(i) > 0xbf) return 0;
  }
  return n;
}

}  // namespace

bool is_utf8(std::string_view text) {
  while (!text.empty()) {
    const std::size_t n = length_of_first(text);
    if (n == 0) return false;
    text.remove_prefix(n);
  }
  return true;
}

std::string shown(std::string_view text) {
  std::string out;
  while (!text.empty()) {
    const std::size_t n = length_of_first(text);
    const auto first = static_cast<unsigned char>(text.front());
    const bool is_plain = n > 0 && first >= 0x20 && first != 0x7f;
    if (is_plain) {
      out += text.substr(0, n);
    } else {
      out += fmt::format("\\x{:02x}", first);
    }
    text.remove_prefix(n == 0 ? 1 : n);
  }
  return out;
}

std::string_view first_character(std::string_view text) {
  if (text.empty()) return text;
  return text.substr(0, std::max<std::size_t>(1, length_of_first(text)));
}

std::string shortened(std::string_view text, std::size_t bytes) {
  if (text.size() <= bytes) return std::string(text);
  std::size_t kept = 0;
  while (true) {
    const std::size_t n = first_character(text.substr(kept)).size();
    if (kept + n > bytes) break;
    kept += n;
  }
  return std::string(text.substr(0, kept)) + "...";
}

}  // namespace buckram::base
