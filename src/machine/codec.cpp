#include "machine/codec.h"

#include "base/base.h"
#include "machine/bits.h"

#include <fmt/format.h>

#include <algorithm>
#include <bit>
#include <numeric>
#include <optional>

namespace buckram::machine {
namespace {

using stitch::Op;

bool goes(Op op) {
  return op == Op::sew || op == Op::move;
}

void put_record(Bits word, int length, std::string& out) {
  for (int k = 0; k < length; ++k) out += static_cast<char>((word >> (8 * k)) & 0xFF);
}

// Places from the one that counts least to the one that counts most when the record's bytes are
// read from the left.
std::vector<int> by_weight_of_place(Bits bits) {
  std::vector<int> places;
  for (int byte = kLongestRecord - 1; byte >= 0; --byte) {
    for (int k = 0; k < 8; ++k) {
      if ((bits & bit(8 * byte + k)) != 0) places.push_back(8 * byte + k);
    }
  }
  return places;
}

// The codes of a kind's number that no narrower kind takes.
CodeTable free_codes(const Layout& layout, const Kind& kind, const Number& number) {
  for (const Kind& other : layout.kinds) {
    const Bits taken = bits_within(kind, other) & bits_of(number);
    if (taken != 0) return {number, taken, other.value & taken};
  }
  return {number, 0, 0};
}

}  // namespace

CodeTable::CodeTable(const Number& number, Bits taken_mask, Bits taken_value) {
  const std::vector<int> places = by_weight_of_place(bits_of(number));
  std::vector<int> weights(places.size(), 0);
  for (std::size_t i = 0; i < number.bits.size(); ++i) {
    const auto at = std::find(places.begin(), places.end(), number.bits[i]) - places.begin();
    weights[static_cast<std::size_t>(at)] += number.weights[i];
  }
  struct Code {
    Bits word = 0;
    int sum = 0, value = 0;
  };
  std::vector<Code> all(std::size_t{1} << places.size());
  for (std::size_t c = 0; c < all.size(); ++c) {
    Code& code = all[c];
    if (c > 0) {
      const Code& rest = all[c & (c - 1)];
      const auto lowest = static_cast<std::size_t>(std::countr_zero(c));
      code = {rest.word | bit(places[lowest]), rest.sum + weights[lowest]};
    }
    const bool is_negated = number.negate >= 0 && (code.word & bit(number.negate)) != 0;
    code.value = is_negated ? -(number.offset + code.sum) : number.offset + code.sum;
    first_ = std::min(first_, code.value);
    last_ = std::max(last_, code.value);
  }
  codes_.assign(static_cast<std::size_t>(last_ - first_) + 1, kNone);
  for (const Code& code : all) {
    if (taken_mask != 0 && (code.word & taken_mask) == taken_value) continue;
    Bits& lowest = codes_[index(code.value)];
    if (lowest == kNone) lowest = code.word;
  }
  measure();
}

// From the values that have a code: the run about zero, the ends, and what is missing between them.
// Zero lies in the table whether it has a code or not.
void CodeTable::measure() {
  StepRange found{.low = 1, .high = 0};
  if (has(0)) {
    found.low = 0;
    while (has(found.low - 1)) --found.low;
    while (has(found.high + 1)) ++found.high;
  }
  found.least = first_;
  found.most = last_;
  while (found.least < found.most && !has(found.least)) ++found.least;
  while (found.most > found.least && !has(found.most)) --found.most;
  for (int value = found.least; value <= found.most; ++value) {
    if (has(value)) continue;
    const bool is_nearer = found.n_missing == 0 || std::abs(value) < std::abs(found.first_missing);
    if (is_nearer) found.first_missing = value;
    ++found.n_missing;
  }
  range_ = found;
}

Sums::Sums(const Number& number) : offset_(number.offset) {
  if (number.negate >= 0) negate_ = bit(number.negate);
  for (int byte = 0; byte < kLongestRecord; ++byte) {
    ByteSums sums{.shift = 8 * byte};
    bool is_used = false;
    for (std::size_t i = 0; i < number.bits.size(); ++i) {
      if (number.bits[i] / 8 != byte) continue;
      is_used = true;
      for (std::size_t value = 0; value < sums.sum.size(); ++value) {
        if (((value >> (number.bits[i] % 8)) & 1) != 0) sums.sum[value] += number.weights[i];
      }
    }
    if (is_used) bytes_.push_back(sums);
  }
}

Bits bits_within(const Kind& outer, const Kind& inner) {
  const bool is_within = (inner.mask & outer.mask) == outer.mask && inner.mask != outer.mask &&
                         (inner.value & outer.mask) == outer.value;
  return is_within ? inner.mask & ~outer.mask : 0;
}

Codec::Codec(const Layout& layout) {
  for (const Kind& kind : layout.kinds) {
    KindTables tables{kind.mask, kind.value, kind.length, kind.x && kind.y, {}, {}, {}, {}, {}};
    if (tables.has_step) {
      tables.x_codes = free_codes(layout, kind, *kind.x);
      tables.y_codes = free_codes(layout, kind, *kind.y);
      tables.x = Sums(*kind.x);
      tables.y = Sums(*kind.y);
    }
    kinds_.push_back(std::move(tables));
  }
  narrowest_.resize(kinds_.size());
  std::iota(narrowest_.begin(), narrowest_.end(), std::size_t{0});
  std::stable_sort(narrowest_.begin(), narrowest_.end(), [this](std::size_t a, std::size_t b) {
    return std::popcount(kinds_[a].mask) > std::popcount(kinds_[b].mask);
  });
  for (const Operation& operation : layout.operations) add_way(operation);
}

void Codec::add_way(const Operation& operation) {
  Way way{operation.does, {}};
  for (const RecordForm& form : operation.records) {
    const KindTables& kind = kinds_[form.kind];
    Record record{form.kind, kind.mask | form.mask, kind.value | form.value, -1};
    if (form.needle) {
      record.needle = static_cast<int>(needles_.size());
      needles_.push_back({CodeTable(*form.needle, 0, 0), Sums(*form.needle)});
    }
    for (int k = 0; k < form.times; ++k) way.records.push_back(record);
  }
  kinds_[way.records.front().kind].ways.push_back(ways_.size());
  has_end_ = has_end_ || way.does == Op::end;
  ways_.push_back(std::move(way));
}

bool Codec::can_do(Op op) const {
  return std::any_of(ways_.begin(), ways_.end(), [op](const Way& way) { return way.does == op; });
}

bool Codec::carries(const Way& way, const Step& step) const {
  if (way.does != step.op) return false;
  const KindTables& first = kinds_[way.records.front().kind];
  return !goes(step.op) || (first.x_codes.has(step.dx) && first.y_codes.has(step.dy));
}

bool Codec::holds(const Step& step) const {
  return std::any_of(ways_.begin(), ways_.end(),
                     [&](const Way& way) { return carries(way, step); });
}

int Codec::append(const Step& step, std::string& out) const {
  for (const Way& way : ways_) {
    const int n = carries(way, step) ? append_way(way, step, out) : 0;
    if (n > 0) return n;
  }
  return 0;
}

int Codec::append_way(const Way& way, const Step& step, std::string& out) const {
  const std::size_t before = out.size();
  for (const Record& record : way.records) {
    const KindTables& kind = kinds_[record.kind];
    Bits word = record.value;
    if (kind.has_step) {
      const bool is_far = goes(step.op);
      word |= kind.x_codes.code(is_far ? step.dx : 0) | kind.y_codes.code(is_far ? step.dy : 0);
    }
    if (record.needle >= 0) {
      const CodeTable& codes = needles_[static_cast<std::size_t>(record.needle)].codes;
      if (!codes.has(step.needle)) {
        out.resize(before);
        return 0;
      }
      word |= codes.code(step.needle);
    }
    put_record(word, kind.length, out);
  }
  return static_cast<int>(way.records.size());
}

OperationRange Codec::range_of(std::size_t operation) const {
  const KindTables& kind = kinds_[ways_[operation].records.front().kind];
  return {ways_[operation].does, {}, kind.x_codes.range(), kind.y_codes.range()};
}

Codec::Reach Codec::reach_of_kind(std::size_t kind) const {
  return {kinds_[kind].x_codes.range(), kinds_[kind].y_codes.range()};
}

Codec::Reach Codec::reach(Op op) const {
  const auto every_way = [](const Reach& r) {
    return std::min({-r.x.low, r.x.high, -r.y.low, r.y.high});
  };
  std::optional<Reach> best;
  for (const Way& way : ways_) {
    if (way.does != op) continue;
    const Reach here = reach_of_kind(way.records.front().kind);
    if (!best || every_way(here) > every_way(*best)) best = here;
  }
  return best.value_or(Reach{});
}

}  // namespace buckram::machine
