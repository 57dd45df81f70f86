// Reading records: one pass, a few look-ups a record.
#include "base/base.h"
#include "machine/bits.h"
#include "machine/codec.h"

#include <fmt/format.h>

#include <algorithm>

namespace buckram::machine {

using stitch::Op;

class Codec::Reader {
 public:
  Reader(const Codec& codec, std::string_view bytes, std::size_t begin, bool needs_end,
         const std::string& where)
      : codec_(codec), bytes_(bytes), at_(begin), needs_end_(needs_end), where_(where) {
    decoded_.n_operations.assign(codec.ways_.size(), 0);
    decoded_.n_kinds.assign(codec.kinds_.size(), 0);
    decoded_.steps.reserve(std::min((bytes.size() - begin) / 2 + 2, kMostRecords));
  }

  Decoded run() && {
    bool is_ended = false;
    while (!is_ended && at_ < bytes_.size()) is_ended = read_operation();
    if (!is_ended && needs_end_) fail("the records stop without an end");
    if (!is_ended) decoded_.steps.push_back({.op = Op::end});
    decoded_.end = at_;
    return std::move(decoded_);
  }

 private:
  [[noreturn]] void fail(const std::string& what) const {
    throw base::Error{base::ErrorCode::bad_stitches, what, fmt::format("{}: byte {}", where_, at_),
                      "Check that the whole file was copied, and that it is of this layout"};
  }

  // The record at at_ and its kind.
  const KindTables& next_record() {
    if (decoded_.n_records++ >= kMostRecords) {
      fail(fmt::format("there are more than {} records", kMostRecords));
    }
    word_ = word_at(bytes_, at_);
    for (const std::size_t k : codec_.narrowest_) {
      const KindTables& kind = codec_.kinds_[k];
      if ((word_ & kind.mask) != kind.value) continue;
      if (bytes_.size() - at_ < static_cast<std::size_t>(kind.length)) {
        fail(fmt::format("a record of {} bytes is cut off after {}", kind.length,
                         bytes_.size() - at_));
      }
      ++decoded_.n_kinds[k];
      return kind;
    }
    fail(fmt::format("no kind of record has the bytes {}",
                     hex_text(bytes_.substr(at_, kLongestRecord))));
  }

  // True when it was an end.
  bool read_operation() {
    const KindTables& kind = next_record();
    for (const std::size_t w : kind.ways) {
      const Way& way = codec_.ways_[w];
      const Record& first = way.records.front();
      if ((word_ & first.mask) != first.value) continue;
      ++decoded_.n_operations[w];
      Step step{.op = way.does};
      take(kind, first, step);
      for (std::size_t k = 1; k < way.records.size(); ++k) take_further(way, k, step);
      put(step);
      return step.op == Op::end;
    }
    fail(fmt::format("no operation has the bytes {}",
                     hex_text(bytes_.substr(at_, static_cast<std::size_t>(kind.length)))));
  }

  void take_further(const Way& way, std::size_t k, Step& step) {
    const Record& record = way.records[k];
    const bool is_there = at_ < bytes_.size();
    if (is_there) {
      const KindTables& kind = next_record();
      if (&kind == &codec_.kinds_[record.kind] && (word_ & record.mask) == record.value) {
        return take(kind, record, step);
      }
    }
    fail(fmt::format("only {} of the {} records follow each other that make one operation", k,
                     way.records.size()));
  }

  void take(const KindTables& kind, const Record& record, Step& step) {
    if (kind.has_step) {
      step.dx += kind.x.of(word_);
      step.dy += kind.y.of(word_);
    }
    if (record.needle >= 0) {
      step.needle = codec_.needles_[static_cast<std::size_t>(record.needle)].sums.of(word_);
    }
    at_ += static_cast<std::size_t>(kind.length);
  }

  void put(const Step& step) {
    const bool carries = step.op == Op::sew || step.op == Op::move;
    if (carries || (step.dx == 0 && step.dy == 0)) {
      decoded_.steps.push_back(step);
      return;
    }
    const Step bare{.op = step.op, .needle = step.needle};
    if (step.op != Op::end) decoded_.steps.push_back(bare);
    decoded_.steps.push_back({.op = Op::move, .dx = step.dx, .dy = step.dy});
    if (step.op == Op::end) decoded_.steps.push_back(bare);
  }

  const Codec& codec_;
  std::string_view bytes_;
  std::size_t at_;
  bool needs_end_;
  std::string where_;
  Bits word_ = 0;
  Decoded decoded_;
};

Codec::Decoded Codec::decode(std::string_view bytes, std::size_t begin, std::size_t end,
                             const std::string& where) const {
  BUCKRAM_ASSERT(begin <= end && end <= bytes.size());
  return Reader(*this, bytes.substr(0, end), begin, has_end_, where).run();
}

Codec::Decoded Codec::decode_all(std::string_view records) const {
  return Reader(*this, records, 0, false, "records").run();
}

}  // namespace buckram::machine
