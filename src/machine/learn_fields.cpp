#include "machine/learn_fields.h"

#include "machine/bits.h"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

namespace buckram::machine {
namespace {

// Every way of writing a number, the quantity left open, widest first.
std::vector<Part> ways_of_writing() {
  std::vector<Part> ways;
  for (int width = 20; width >= 1; --width) {
    for (const bool is_signed : {false, true}) {
      for (const bool high_first : {false, true}) {
        if (width > 4 || (width == 1 && high_first)) continue;
        Part part{.what = Part::What::field, .width = width, .is_text = false};
        part.high_first = high_first;
        part.is_signed = is_signed;
        ways.push_back(part);
      }
    }
    for (const bool has_plus : {false, true}) {
      for (const auto& [pad, is_left] : {std::pair{' ', false}, {'0', false}, {' ', true}}) {
        Part part{.what = Part::What::field, .width = width};
        part.pad = pad;
        part.is_left = is_left;
        part.has_plus = has_plus;
        ways.push_back(part);
      }
    }
  }
  return ways;
}

class PartFinder {
 public:
  PartFinder(const std::vector<std::string_view>& regions, const std::vector<Tally>& tallies,
             std::size_t first)
      : regions_(regions), tallies_(tallies), first_(first), ways_(ways_of_writing()) {}

  LearntParts run() && {
    const std::size_t size = regions_.front().size();
    for (std::size_t at = 0; at < size;) {
      if (const auto field = field_at(at)) {
        learnt_.parts.push_back(*field);
        at += field->size();
      } else {
        add_byte(at++);
      }
    }
    tell();
    return std::move(learnt_);
  }

 private:
  bool differs(std::size_t at) const {
    return std::any_of(regions_.begin(), regions_.end(),
                       [&](std::string_view r) { return r[at] != regions_.front()[at]; });
  }

  bool is_at(const Part& part, std::size_t at) const {
    for (std::size_t s = 0; s < regions_.size(); ++s) {
      const auto text = field_text(part, tallies_[s][part.quantity]);
      if (!text || regions_[s].substr(at, part.size()) != *text) return false;
    }
    return true;
  }

  std::optional<Part> field_at(std::size_t at) {
    for (Part part : ways_) {
      if (at + part.size() > regions_.front().size()) continue;
      bool any_differs = false;
      for (std::size_t k = 0; k < part.size(); ++k) any_differs = any_differs || differs(at + k);
      if (!any_differs) continue;
      std::vector<Quantity> fitting;
      for (int q = 0; q < static_cast<int>(Quantity::count_); ++q) {
        part.quantity = static_cast<Quantity>(q);
        if (is_at(part, at)) fitting.push_back(part.quantity);
      }
      if (fitting.empty()) continue;
      part.quantity = fitting.front();
      if (fitting.size() > 1) ask_which(at, part, fitting);
      return part;
    }
    return std::nullopt;
  }

  void ask_which(std::size_t at, const Part& part, const std::vector<Quantity>& fitting) {
    std::string names;
    for (const Quantity q : fitting) names += (names.empty() ? "" : " or ") + std::string(name(q));
    learnt_.asked.push_back(
        fmt::format("bytes {} to {} hold {}: a pattern in which these differ tells which",
                    first_ + at, first_ + at + part.size() - 1, names));
  }

  void add_byte(std::size_t at) {
    const Part::What what = differs(at) ? Part::What::free : Part::What::literal;
    if (learnt_.parts.empty() || learnt_.parts.back().what != what) {
      learnt_.parts.push_back({.what = what});
    }
    learnt_.parts.back().bytes += regions_.front()[at];
  }

  void tell() {
    std::size_t at = first_;
    for (const Part& part : learnt_.parts) {
      const std::size_t last = at + part.size() - 1;
      if (part.what == Part::What::field) {
        learnt_.found.push_back(fmt::format("bytes {} to {}: {} as {}", at, last,
                                            name(part.quantity),
                                            part.is_text ? "text" : "a whole number"));
      } else if (part.what == Part::What::free) {
        learnt_.asked.push_back(fmt::format(
            "bytes {} to {} differ between the files and say no number of their records; they are "
            "written as in the first file: give the patterns one and the same name, and look in "
            "the machine's manual",
            at, last));
      }
      at = last + 1;
    }
  }

  const std::vector<std::string_view>& regions_;
  const std::vector<Tally>& tallies_;
  std::size_t first_;
  std::vector<Part> ways_;
  LearntParts learnt_;
};

}  // namespace

LearntParts learn_parts(const std::vector<std::string_view>& regions,
                        const std::vector<Tally>& tallies, std::size_t first) {
  return PartFinder(regions, tallies, first).run();
}

}  // namespace buckram::machine
