#include "machine/bits.h"

#include <fmt/format.h>

#include <algorithm>
#include <bit>
#include <cstring>

namespace buckram::machine {
namespace {

int digit(char c) {
  if (c >= '0' && c <= '9') return c - '0';
  if (c >= 'a' && c <= 'f') return c - 'a' + 10;
  if (c >= 'A' && c <= 'F') return c - 'A' + 10;
  return -1;
}

}  // namespace

Bits bits_of(const Number& number) {
  Bits all = number.negate >= 0 ? bit(number.negate) : 0;
  for (const int place : number.bits) all |= bit(place);
  return all;
}

int value_of(const Number& number, Bits word) {
  int sum = number.offset;
  for (std::size_t i = 0; i < number.bits.size(); ++i) {
    if ((word & bit(number.bits[i])) != 0) sum += number.weights[i];
  }
  return number.negate >= 0 && (word & bit(number.negate)) != 0 ? -sum : sum;
}

std::string place_text(int place) {
  return fmt::format("{}.{}", place / 8, place % 8);
}

std::string places_text(Bits bits) {
  std::string text;
  for (int place = 0; place < 64; ++place) {
    if ((bits & bit(place)) == 0) continue;
    text += (text.empty() ? "" : ", ") + place_text(place);
  }
  return text;
}

std::string hex_text(std::string_view bytes) {
  std::string text;
  for (const char c : bytes) {
    text += fmt::format("{}{:02X}", text.empty() ? "" : " ", static_cast<unsigned char>(c));
  }
  return text;
}

std::string hex_text(Bits bits, int length) {
  std::string bytes;
  for (int k = 0; k < length; ++k) bytes += static_cast<char>((bits >> (8 * k)) & 0xFF);
  return hex_text(bytes);
}

std::optional<int> place_in(std::string_view text) {
  const bool is_place = text.size() == 3 && text[1] == '.' && text[0] >= '0' &&
                        text[0] < '0' + kLongestRecord && text[2] >= '0' && text[2] < '8';
  if (!is_place) return std::nullopt;
  return 8 * (text[0] - '0') + (text[2] - '0');
}

std::optional<std::string> bytes_in(std::string_view text) {
  std::string bytes;
  int high = -1;
  for (const char c : text) {
    const int d = digit(c);
    if (d < 0 && (c != ' ' || high >= 0)) return std::nullopt;
    if (d < 0) continue;
    if (high < 0) {
      high = d;
    } else {
      bytes += static_cast<char>(high * 16 + d);
      high = -1;
    }
  }
  if (high >= 0) return std::nullopt;
  return bytes;
}

Bits word_at(std::string_view bytes, std::size_t at) {
  static_assert(std::endian::native == std::endian::little);
  Bits word = 0;
  std::memcpy(&word, bytes.data() + at, std::min<std::size_t>(kLongestRecord, bytes.size() - at));
  return word;
}

}  // namespace buckram::machine
