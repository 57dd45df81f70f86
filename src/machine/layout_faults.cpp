// What makes a description ambiguous or impossible to write.
#include "machine/bits.h"
#include "machine/codec.h"
#include "machine/layout.h"

#include <fmt/format.h>

#include <algorithm>

namespace buckram::machine {
namespace {

using stitch::Op;

class Faults {
 public:
  explicit Faults(const Layout& layout) : layout_(layout) {}

  std::vector<std::string> find() && {
    if (layout_.kinds.empty()) say("there is no [[kind]] of record");
    for (std::size_t k = 0; k < layout_.kinds.size(); ++k) check_kind(k);
    for (std::size_t i = 0; i < layout_.operations.size(); ++i) check_operation(i);
    if (found_.empty()) check_together();
    if (found_.empty()) check_steps();
    return std::move(found_);
  }

 private:
  void say(std::string fault) { found_.push_back(std::move(fault)); }

  static std::string title(const Operation& operation, std::size_t index) {
    return fmt::format("operation {} ({})", index + 1, deed(operation.does));
  }

  // Bits of `more` must lie within the record and must not be `used` yet.
  void claim(const std::string& who, Bits more, Bits& used, int length) {
    if ((more & ~all_bits(length)) != 0) {
      say(fmt::format("{}: bits {} lie outside a record of {} bytes", who,
                      places_text(more & ~all_bits(length)), length));
    }
    if ((more & used) != 0) {
      say(fmt::format("{}: bits {} are used twice", who, places_text(more & used)));
    }
    used |= more;
  }

  void check_number(const std::string& who, const Number& number) {
    Bits seen = number.negate >= 0 ? bit(number.negate) : 0;
    for (const int place : number.bits) {
      if ((seen & bit(place)) != 0) {
        say(fmt::format("{}: bit {} is named twice", who, place_text(place)));
      }
      seen |= bit(place);
    }
  }

  void check_value(const std::string& who, Bits mask, Bits value) {
    if ((value & ~mask) == 0) return;
    say(fmt::format("{}: the value sets bits {} that its mask leaves out", who,
                    places_text(value & ~mask)));
  }

  void check_kind(std::size_t k) {
    const Kind& kind = layout_.kinds[k];
    const std::string who = fmt::format("kind {}", kind.name);
    for (std::size_t j = 0; j < k; ++j) {
      if (layout_.kinds[j].name == kind.name) say(who + ": two kinds have this name");
    }
    check_value(who, kind.mask, kind.value);
    Bits used = 0;
    claim(who + ", mask", kind.mask, used, kind.length);
    if (kind.x.has_value() != kind.y.has_value()) say(who + ": has one of x and y, not both");
    if (kind.x) check_number(who + ", x", *kind.x);
    if (kind.y) check_number(who + ", y", *kind.y);
    claim(who + ", x", bits_of(kind.x), used, kind.length);
    claim(who + ", y", bits_of(kind.y), used, kind.length);
  }

  void check_operation(std::size_t i) {
    const Operation& operation = layout_.operations[i];
    const std::string who = title(operation, i);
    if (operation.records.empty()) return say(who + ": has no records");
    std::size_t n_records = 0;
    int n_needles = 0;
    for (const RecordForm& form : operation.records) {
      check_record(who, operation.does, form);
      n_records += static_cast<std::size_t>(form.times);
      n_needles += form.needle ? form.times : 0;
    }
    if (n_records > kMostInARow) {
      say(fmt::format("{}: is {} records, {} at most", who, n_records, kMostInARow));
    }
    if (n_needles > 1) say(who + ": names the needle more than once");
    const Kind& kind = layout_.kinds[operation.records.front().kind];
    if (operation.does != Op::sew && operation.does != Op::move) return;
    if (n_records != 1) say(who + ": is more than one record, which only other operations may be");
    if (!kind.x || !kind.y) say(fmt::format("{}: its kind {} has no step", who, kind.name));
  }

  void check_record(const std::string& who, Op does, const RecordForm& form) {
    const Kind& kind = layout_.kinds[form.kind];
    check_value(who, form.mask, form.value);
    Bits used = kind.mask | bits_of(kind.x) | bits_of(kind.y);
    claim(who + ", mask", form.mask, used, kind.length);
    if (!form.needle) return;
    if (does != Op::change) say(who + ": names a needle, which only a change does");
    check_number(who + ", needle", *form.needle);
    claim(who + ", needle", bits_of(form.needle), used, kind.length);
  }

  void check_together() {
    for (std::size_t b = 0; b < layout_.kinds.size(); ++b) {
      for (std::size_t a = 0; a < b; ++a) check_pair(layout_.kinds[a], layout_.kinds[b]);
      check_inner(layout_.kinds[b]);
      const bool is_used = std::any_of(
          layout_.operations.begin(), layout_.operations.end(), [&](const Operation& operation) {
            return std::any_of(operation.records.begin(), operation.records.end(),
                               [&](const RecordForm& form) { return form.kind == b; });
          });
      if (!is_used) say(fmt::format("kind {}: no operation uses it", layout_.kinds[b].name));
    }
    for (std::size_t b = 0; b < layout_.operations.size(); ++b) {
      for (std::size_t a = 0; a < b; ++a) check_pair(a, b);
    }
    for (const auto& [does, word] : {std::pair{Op::sew, "sews"}, std::pair{Op::move, "moves"}}) {
      const bool is_there = std::any_of(layout_.operations.begin(), layout_.operations.end(),
                                        [d = does](const auto& each) { return each.does == d; });
      if (!is_there) say(fmt::format("no operation {}", word));
    }
  }

  void check_pair(const Kind& a, const Kind& b) {
    const Bits near = all_bits(std::min(a.length, b.length));
    const bool are_apart = ((a.value ^ b.value) & a.mask & b.mask & near) != 0;
    if (are_apart || is_inner(a, b) || is_inner(b, a)) return;
    say(
        fmt::format("kinds {} and {} cannot be told apart: no bit of the first {} bytes is under "
                    "both masks with different values",
                    a.name, b.name, std::min(a.length, b.length)));
  }

  // Whether `inner` is what one value of x or y of `outer` opens.
  static bool is_inner(const Kind& outer, const Kind& inner) {
    const Bits within = bits_within(outer, inner);
    const bool is_in_x = (within & bits_of(outer.x)) != 0;
    const bool is_in_y = (within & bits_of(outer.y)) != 0;
    return is_in_x != is_in_y && (inner.mask & ~all_bits(outer.length)) == 0;
  }

  void check_inner(const Kind& outer) {
    for (const auto& number : {outer.x, outer.y}) {
      const auto n_inner = std::count_if(
          layout_.kinds.begin(), layout_.kinds.end(),
          [&](const Kind& inner) { return (bits_within(outer, inner) & bits_of(number)) != 0; });
      if (n_inner > 1) {
        say(
            fmt::format("kind {}: more than one kind lies within one of its numbers; describe "
                        "them as one kind whose operations differ",
                        outer.name));
      }
    }
  }

  void check_pair(std::size_t i, std::size_t j) {
    const RecordForm& a = layout_.operations[i].records.front();
    const RecordForm& b = layout_.operations[j].records.front();
    if (a.kind != b.kind || ((a.value ^ b.value) & a.mask & b.mask) != 0) return;
    say(
        fmt::format("{} and {} cannot be told apart: their first records, both of kind {}, have "
                    "no bit under both masks with different values",
                    title(layout_.operations[i], i), title(layout_.operations[j], j),
                    layout_.kinds[a.kind].name));
  }

  void check_steps() {
    const Codec codec(layout_);
    for (std::size_t k = 0; k < layout_.kinds.size(); ++k) {
      const Codec::Reach reach = codec.reach_of_kind(k);
      const bool holds_zero = reach.x.low <= 0 && reach.y.low <= 0;
      if (holds_zero) continue;
      say(fmt::format("kind {}: its {} cannot be 0", layout_.kinds[k].name,
                      reach.x.low > 0 ? "x" : "y"));
    }
    for (const Op op : {Op::sew, Op::move}) {
      const Codec::Reach reach = codec.reach(op);
      const bool goes_everywhere =
          std::max(reach.x.low, reach.y.low) < 0 && std::min(reach.x.high, reach.y.high) > 0;
      if (!goes_everywhere) {
        say(fmt::format(
            "to {} by one unit cannot be written in every direction: x holds {} to {}, "
            "y {} to {}",
            op == Op::sew ? "sew" : "move", reach.x.low, reach.x.high, reach.y.low, reach.y.high));
      }
    }
  }

  const Layout& layout_;
  std::vector<std::string> found_;
};

}  // namespace

std::vector<std::string> faults_of(const Layout& layout) {
  return Faults(layout).find();
}

std::vector<OperationRange> ranges_of(const Layout& layout) {
  const Codec codec(layout);
  std::vector<OperationRange> all;
  for (std::size_t i = 0; i < layout.operations.size(); ++i) {
    const Operation& operation = layout.operations[i];
    if (operation.does != Op::sew && operation.does != Op::move) continue;
    all.push_back(codec.range_of(i));
    all.back().kind = layout.kinds[operation.records.front().kind].name;
  }
  return all;
}

}  // namespace buckram::machine
