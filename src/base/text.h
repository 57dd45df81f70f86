// Text from outside: whether it is UTF-8, and a form of it that may be shown.
#pragma once

#include <string>
#include <string_view>

namespace buckram::base {

// Well-formed by RFC 3629: shortest forms, no surrogates, nothing above U+10FFFF. O(bytes).
bool is_utf8(std::string_view text);

// The text with every byte that is no part of a well-formed character, and every control character,
// as \xNN.
std::string shown(std::string_view text);

}  // namespace buckram::base
