// The record stream that a machine reads, as its shop describes it.
//
// A file is: parts before the records, records, parts after them. Records are of one or more kinds,
// told apart by bits under a mask, each kind of a fixed length. Where a kind carries a step, x and
// y are sums of weights of named bits and an offset, negated where a named bit says so; a top bit
// of negative weight gives two's complement. An operation is one record or several in a row,
// recognised by bits under a mask. docs/layouts.md tells shops how to write one down.
//
// One kind may lie within another (its mask has all of the other's bits and more, with the same
// values there): then the narrower one is meant where both fit, which is how a value of x that no
// step uses opens a command. Any other overlap is refused, because a file could then be read in two
// ways. Codes computed by a rule other than sums of weights, and check digits within a record,
// cannot be described.
#pragma once

#include "stitch/stitch.h"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace buckram::machine {

inline constexpr int kLongestRecord = 8;  // bytes: a record is one 64-bit word
inline constexpr int kMostAxisBits = 16;  // of one number in a record, the negating bit aside
inline constexpr int kLargestWeight = 32768;
inline constexpr std::size_t kMostKinds = 8, kMostOperations = 24, kMostInARow = 8;

// Bits of a record by place: 8 * byte + bit, byte 0 first in the file, bit 0 the lowest.
using Bits = std::uint64_t;

// A whole number within a record: offset + sum of the weights of the bits that are set, negated
// where the bit `negate` is set.
struct Number {
  std::vector<int> bits, weights;  // of one length
  int offset = 0;
  int negate = -1;  // place, or -1: never
  bool operator==(const Number&) const = default;
};

struct Kind {
  std::string name;
  int length = 0;                  // bytes, 1 to kLongestRecord
  Bits mask = 0, value = 0;        // value has no bits outside mask; both are written as well
  std::optional<Number> x{}, y{};  // a step in units; both or none
  bool operator==(const Kind&) const = default;
};

// One record, or `times` equal ones.
struct RecordForm {
  std::size_t kind = 0;      // index into Layout::kinds
  Bits mask = 0, value = 0;  // beside the kind's own
  int times = 1;
  std::optional<Number> needle{};  // of a thread change: the needle to go on with
  bool operator==(const RecordForm&) const = default;
};

const char* deed(stitch::Op op);  // "sew", "move", "trim", "change", "stop", "end"
std::optional<stitch::Op> deed_named(std::string_view word);

struct Operation {
  stitch::Op does = stitch::Op::sew;
  std::vector<RecordForm> records;  // sew and move: exactly one, once, of a kind that has a step
  bool operator==(const Operation&) const = default;
};

// What a field of the file can say about its records, in the file's units. Extents are measured
// from the start over every place the frame goes, so that none is negative.
enum class Quantity {
  stitches,
  moves,
  trims,
  changes,
  stops,
  colours,
  records,
  record_bytes,
  byte_sum,
  left,
  right,
  up,
  down,
  end_x,
  end_y,
  count_
};
const char* name(Quantity quantity);

struct Part {
  enum class What {
    literal,  // `bytes`, which reading insists on
    free,     // `bytes` are written; reading takes any
    field     // a number computed from the records
  };
  What what = What::literal;
  std::string bytes{};
  Quantity quantity = Quantity::stitches;
  int width = 0;            // of a field, bytes
  bool is_text = true;      // decimal text, or else a whole number in binary
  char pad = ' ';           // text: fills up the width; zeros stand behind the sign
  bool is_left = false;     // text: padded on the right
  bool has_plus = false;    // text: + before numbers that are not negative
  bool high_first = false;  // binary: highest byte first
  bool is_signed = false;   // binary: two's complement
  std::size_t size() const {
    return what == What::field ? static_cast<std::size_t>(width) : bytes.size();
  }
  bool operator==(const Part&) const = default;
};

struct Layout {
  std::string name, title;
  std::string extension;  // of its files, without the dot
  double unit_mm = 0.1;   // a step of 1
  std::vector<Part> before, after;
  std::vector<Kind> kinds;
  // Of several that do the same the first that can hold a step is written; all are read.
  std::vector<Operation> operations;
  bool operator==(const Layout&) const = default;
};

std::size_t size_of(const std::vector<Part>& parts);  // bytes

// Reads a description. Throws Error{bad_data} naming key, value and range, unknown keys with the
// nearest known one, and every fault that faults_of() finds. Input is untrusted.
Layout read_layout(std::string_view toml, const std::string& where);

// Law: read_layout(write_layout(l)) = l for every layout without faults.
std::string write_layout(const Layout& layout);

// Why files of this layout could be read in two ways, not be written, or not be told from others:
// each fault as a sentence that names kind, operation and bits. Empty: none, and for every step
// that an operation can hold decode(encode(step)) = step.
std::vector<std::string> faults_of(const Layout& layout);

// The steps that one way of sewing or moving holds, along one axis.
struct StepRange {
  int low = 0, high = 0;    // every step from low to high can be written
  int least = 0, most = 0;  // of all that can be written
  int n_missing = 0;        // between least and most
  int first_missing = 0;    // nearest to zero
};
struct OperationRange {
  stitch::Op does = stitch::Op::sew;
  std::string kind;
  StepRange x, y;
};
// Of every sew and move, in the layout's order. Requires a layout without faults.
std::vector<OperationRange> ranges_of(const Layout& layout);

}  // namespace buckram::machine
