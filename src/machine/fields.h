// What a file says about its own records before and after them.
#pragma once

#include "machine/codec.h"
#include "machine/layout.h"

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace buckram::machine {

// Every Quantity of some steps and the records they make.
struct Tally {
  std::array<long long, static_cast<std::size_t>(Quantity::count_)> of{};
  long long operator[](Quantity q) const { return of[static_cast<std::size_t>(q)]; }
};
Tally tally_of(const std::vector<Step>& steps, std::string_view records, std::size_t n_records);

// A number as the field holds it; empty when it does not fit. Byte sums are taken modulo what a
// binary field holds.
std::optional<std::string> field_text(const Part& field, long long value);

// The parts' bytes. Throws Error{bad_stitches} when a number does not fit its field.
std::string parts_text(const std::vector<Part>& parts, const Tally& tally);

// A field that does not say what the records say.
struct Disagreement {
  std::size_t at = 0;  // byte of the file
  Quantity quantity = Quantity::stitches;
  std::string found, expected;  // bytes
};
// Compares the parts with the bytes at `at`. Throws Error{bad_stitches} where a literal differs or
// the bytes end. Adds to `found`.
void check_parts(const std::vector<Part>& parts, const Tally& tally, std::string_view bytes,
                 std::size_t at, const std::string& where, std::vector<Disagreement>& found);

}  // namespace buckram::machine
