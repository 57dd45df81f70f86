// Text from outside: whether it is UTF-8, and a form of it that may be shown.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace buckram::base {

// Well-formed by RFC 3629: shortest forms, no surrogates, nothing above U+10FFFF. O(bytes).
bool is_utf8(std::string_view text);

// The text with every byte that is no part of a well-formed character, and every control character,
// as \xNN.
std::string shown(std::string_view text);

// The well-formed character at the front, or the one byte that begins none; empty of nothing.
std::string_view first_character(std::string_view text);

// At most so many bytes of it, whole characters, then "..." where something is left out.
std::string shortened(std::string_view text, std::size_t bytes);

}  // namespace buckram::base
