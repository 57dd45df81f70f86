// Bits of a record as people write them: places "BYTE.BIT", bytes as pairs of hexadecimal digits.
#pragma once

#include "machine/layout.h"

#include <optional>
#include <string>
#include <string_view>

namespace buckram::machine {

constexpr Bits bit(int place) {
  return Bits{1} << place;
}
// All bits of a record of that many bytes.
constexpr Bits all_bits(int length) {
  return length >= kLongestRecord ? ~Bits{0} : (Bits{1} << (8 * length)) - 1;
}
// Of its bits, offset aside; with the negating bit.
Bits bits_of(const Number& number);
inline Bits bits_of(const std::optional<Number>& number) {
  return number ? bits_of(*number) : Bits{0};
}

// What the number is in that record, by its definition.
int value_of(const Number& number, Bits word);

std::string place_text(int place);             // "1.7"
std::string places_text(Bits bits);            // "0.6, 0.7"
std::string hex_text(std::string_view bytes);  // "51 0D"
std::string hex_text(Bits bits, int length);

// Empty when the text is none of that form.
std::optional<int> place_in(std::string_view text);
std::optional<std::string> bytes_in(std::string_view text);

// The record's bytes at the front as a word; bytes past the end count as zero.
Bits word_at(std::string_view bytes, std::size_t at);

}  // namespace buckram::machine
