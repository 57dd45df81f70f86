#include "machine/fields.h"

#include "base/base.h"
#include "machine/bits.h"

#include <fmt/format.h>

#include <algorithm>

namespace buckram::machine {
namespace {

using stitch::Op;

std::optional<std::string> decimal_text(const Part& field, long long value) {
  const std::string sign = value < 0 ? "-" : field.has_plus ? "+" : "";
  const std::string digits = fmt::format("{}", value < 0 ? -value : value);
  const auto width = static_cast<std::size_t>(field.width);
  if (sign.size() + digits.size() > width) return std::nullopt;
  const std::string pad(width - sign.size() - digits.size(), field.pad);
  if (field.is_left) return sign + digits + pad;
  return field.pad == '0' ? sign + pad + digits : pad + sign + digits;
}

std::optional<std::string> binary_text(const Part& field, long long value) {
  const long long span = 1LL << (8 * field.width);
  if (field.quantity == Quantity::byte_sum) value %= span;
  const long long low = field.is_signed ? -span / 2 : 0;
  const long long high = field.is_signed ? span / 2 - 1 : span - 1;
  if (value < low || value > high) return std::nullopt;
  std::string bytes;
  for (int k = 0; k < field.width; ++k) {
    bytes += static_cast<char>((static_cast<unsigned long long>(value) >> (8 * k)) & 0xFF);
  }
  if (field.high_first) std::reverse(bytes.begin(), bytes.end());
  return bytes;
}

}  // namespace

Tally tally_of(const std::vector<Step>& steps, std::string_view records, std::size_t n_records) {
  Tally tally;
  const auto at = [&](Quantity q) -> long long& { return tally.of[static_cast<std::size_t>(q)]; };
  long long x = 0, y = 0;
  for (const Step& step : steps) {
    x += step.dx;
    y += step.dy;
    at(Quantity::left) = std::max(at(Quantity::left), -x);
    at(Quantity::right) = std::max(at(Quantity::right), x);
    at(Quantity::down) = std::max(at(Quantity::down), -y);
    at(Quantity::up) = std::max(at(Quantity::up), y);
    at(Quantity::stitches) += step.op == Op::sew ? 1 : 0;
    at(Quantity::moves) += step.op == Op::move ? 1 : 0;
    at(Quantity::trims) += step.op == Op::trim ? 1 : 0;
    at(Quantity::changes) += step.op == Op::change ? 1 : 0;
    at(Quantity::stops) += step.op == Op::stop ? 1 : 0;
  }
  at(Quantity::colours) = tally[Quantity::changes] + 1;
  at(Quantity::end_x) = x;
  at(Quantity::end_y) = y;
  at(Quantity::records) = static_cast<long long>(n_records);
  at(Quantity::record_bytes) = static_cast<long long>(records.size());
  for (const char c : records) at(Quantity::byte_sum) += static_cast<unsigned char>(c);
  return tally;
}

std::optional<std::string> field_text(const Part& field, long long value) {
  return field.is_text ? decimal_text(field, value) : binary_text(field, value);
}

std::string parts_text(const std::vector<Part>& parts, const Tally& tally) {
  std::string text;
  for (const Part& part : parts) {
    if (part.what != Part::What::field) {
      text += part.bytes;
      continue;
    }
    const long long value = tally[part.quantity];
    const auto field = field_text(part, value);
    if (!field) {
      throw base::Error{
          base::ErrorCode::bad_stitches,
          fmt::format("{} is {}, which a field of {} {} cannot hold", name(part.quantity), value,
                      part.width, part.is_text ? "characters" : "bytes"),
          "the layout's fields", "Split the design"};
    }
    text += *field;
  }
  return text;
}

void check_parts(const std::vector<Part>& parts, const Tally& tally, std::string_view bytes,
                 std::size_t at, const std::string& where, std::vector<Disagreement>& found) {
  for (const Part& part : parts) {
    const std::string_view there = bytes.substr(std::min(at, bytes.size()), part.size());
    if (part.what == Part::What::field) {
      const std::string expected = field_text(part, tally[part.quantity]).value_or("");
      if (there != expected) {
        found.push_back({at, part.quantity, std::string(there), expected});
      }
    } else if (part.what == Part::What::literal && there != part.bytes) {
      std::size_t k = 0;
      while (k < there.size() && there[k] == part.bytes[k]) ++k;
      throw base::Error{base::ErrorCode::bad_stitches,
                        fmt::format("holds {} where the layout has {}",
                                    k < there.size() ? hex_text(there.substr(k, 8)) : "nothing",
                                    hex_text(std::string_view(part.bytes).substr(k, 8))),
                        fmt::format("{}: byte {}", where, at + k),
                        "Check that the file is of this layout"};
    }
    at += part.size();
  }
}

}  // namespace buckram::machine
