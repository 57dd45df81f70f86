// Steps to records and back, by tables made once for a layout.
//
// Writing: a table per number from its value to the lowest code that stands for it, the code read
// as the record's bytes from the left; codes that a narrower kind takes are left out. Reading: a
// table of 256 sums per byte, so that a record costs a few look-ups however odd its weights.
#pragma once

#include "machine/layout.h"

#include <array>
#include <string>
#include <string_view>
#include <vector>

namespace buckram::machine {

// One thing the machine does, in units. trim, change, stop and end go nowhere.
struct Step {
  stitch::Op op = stitch::Op::sew;
  int dx = 0, dy = 0;
  int needle = 0;  // of a change, where the layout carries it
  bool operator==(const Step&) const = default;
};

// Most records of a file: four for every entry that a plan may have.
inline constexpr std::size_t kMostRecords = 8'000'000;

// Values that a number in a record can hold, each with its code.
class CodeTable {
 public:
  CodeTable() : CodeTable(Number{}, 0, 0) {}  // holds 0 alone
  // Codes with `taken_value` under `taken_mask` are not used; a mask of 0 takes none.
  CodeTable(const Number& number, Bits taken_mask, Bits taken_value);
  bool has(int value) const {
    return value >= first_ && value <= last_ && codes_[index(value)] != kNone;
  }
  Bits code(int value) const { return codes_[index(value)]; }  // requires has(value)
  // low > high where 0 cannot be written.
  const StepRange& range() const { return range_; }

 private:
  static constexpr Bits kNone = ~Bits{0};
  std::size_t index(int value) const { return static_cast<std::size_t>(value - first_); }
  void measure();
  int first_ = 0, last_ = 0;  // values of the first and last place of codes_; 0 lies between
  std::vector<Bits> codes_;   // kNone where a value has no code
  StepRange range_;
};

// Reads a number out of a record.
class Sums {
 public:
  Sums() = default;
  explicit Sums(const Number& number);
  int of(Bits word) const {
    int sum = offset_;
    for (const ByteSums& each : bytes_) sum += each.sum[(word >> each.shift) & 0xFF];
    return (word & negate_) != 0 ? -sum : sum;
  }

 private:
  struct ByteSums {
    int shift = 0;
    std::array<int, 256> sum{};
  };
  int offset_ = 0;
  Bits negate_ = 0;
  std::vector<ByteSums> bytes_;
};

// Requires a layout without faults, except where faults_of() itself makes one to try it.
class Codec {
 public:
  explicit Codec(const Layout& layout);

  // Appends the records of a step and returns how many; 0, with nothing appended, when no way of
  // doing it holds its dx, dy or needle.
  int append(const Step& step, std::string& out) const;
  bool holds(const Step& step) const;  // of a sew or move
  bool can_do(stitch::Op op) const;
  bool names_needles() const { return !needles_.empty(); }
  // Steps of the way of moving or sewing that goes farthest in every direction.
  struct Reach {
    StepRange x, y;
  };
  Reach reach(stitch::Op op) const;
  Reach reach_of_kind(std::size_t kind) const;
  OperationRange range_of(std::size_t operation) const;

  struct Decoded {
    std::vector<Step> steps;        // the last one is an end
    std::vector<int> n_operations;  // of each operation of the layout
    std::vector<int> n_kinds;       // records of each kind
    std::size_t n_records = 0;
    std::size_t end = 0;  // byte after the last record
  };
  // Reads the records that begin at byte `begin` and end at an end, or, where the layout has none,
  // at byte `end`. A step that a trim, change or stop carries follows it as a move. Throws
  // Error{bad_stitches} with the byte where a record is none of the layout's. O(bytes).
  Decoded decode(std::string_view bytes, std::size_t begin, std::size_t end,
                 const std::string& where) const;
  // Of records alone, whether an end stands last or not.
  Decoded decode_all(std::string_view records) const;

 private:
  struct Record {  // one record of an operation, times spelt out
    std::size_t kind = 0;
    Bits mask = 0, value = 0;  // the kind's and its own
    int needle = -1;           // index into needles_
  };
  struct Way {  // an operation
    stitch::Op does;
    std::vector<Record> records;
  };
  struct KindTables {
    Bits mask, value;
    int length;
    bool has_step;
    CodeTable x_codes, y_codes;
    Sums x, y;
    std::vector<std::size_t> ways;  // that begin with this kind
  };
  struct NeedleTables {
    CodeTable codes;
    Sums sums;
  };
  class Reader;
  void add_way(const Operation& operation);
  bool carries(const Way& way, const Step& step) const;
  int append_way(const Way& way, const Step& step, std::string& out) const;

  std::vector<KindTables> kinds_;       // as in the layout
  std::vector<std::size_t> narrowest_;  // indices of kinds_, those with more bits under mask first
  std::vector<Way> ways_;
  std::vector<NeedleTables> needles_;
  bool has_end_ = false;
};

// The bits by which kind `inner` lies within kind `outer` (has all its masked bits and more), or 0.
Bits bits_within(const Kind& outer, const Kind& inner);

}  // namespace buckram::machine
