#include "base/base.h"
#include "machine/bits.h"
#include "machine/layout.h"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>

namespace buckram::machine {
namespace {

using stitch::Op;

std::string number_text(const Number& number) {
  std::string bits, weights;
  for (std::size_t i = 0; i < number.bits.size(); ++i) {
    const char* comma = i == 0 ? "" : ", ";
    bits += fmt::format("{}\"{}\"", comma, place_text(number.bits[i]));
    weights += fmt::format("{}{}", comma, number.weights[i]);
  }
  std::string text = fmt::format("{{ bits = [{}], weights = [{}]", bits, weights);
  if (number.offset != 0) text += fmt::format(", offset = {}", number.offset);
  if (number.negate >= 0) text += fmt::format(", negate = \"{}\"", place_text(number.negate));
  return text + " }";
}

std::string record_text(const RecordForm& form, const Kind& kind) {
  std::string text = fmt::format("{{ kind = {}", base::toml_text(kind.name));
  if (form.mask != 0) {
    text += fmt::format(", mask = \"{}\", value = \"{}\"", hex_text(form.mask, kind.length),
                        hex_text(form.value, kind.length));
  }
  if (form.times != 1) text += fmt::format(", times = {}", form.times);
  if (form.needle) text += ", needle = " + number_text(*form.needle);
  return text + " }";
}

bool is_printable(const std::string& bytes) {
  return std::all_of(bytes.begin(), bytes.end(), [](char c) { return c >= ' ' && c <= '~'; });
}

std::string part_text(const Part& part) {
  if (part.what == Part::What::free)
    return fmt::format("{{ free = \"{}\" }}", hex_text(part.bytes));
  if (part.what == Part::What::literal) {
    if (is_printable(part.bytes))
      return fmt::format("{{ text = {} }}", base::toml_text(part.bytes));
    return fmt::format("{{ bytes = \"{}\" }}", hex_text(part.bytes));
  }
  std::string text = fmt::format("{{ field = \"{}\"", name(part.quantity));
  if (part.is_text) {
    text += fmt::format(", width = {}", part.width);
    if (part.pad != ' ') text += fmt::format(", pad = \"{}\"", part.pad);
    if (part.is_left) text += ", left = true";
    if (part.has_plus) text += ", plus = true";
  } else {
    text += fmt::format(", bytes = {}", part.width);
    if (part.high_first) text += ", high_first = true";
    if (part.is_signed) text += ", signed = true";
  }
  return text + " }";
}

std::string parts_text(const char* key, const std::vector<Part>& parts) {
  if (parts.empty()) return "";
  std::string text = fmt::format("{} = [\n", key);
  for (const Part& part : parts) text += fmt::format("  {},\n", part_text(part));
  return text + "]\n";
}

}  // namespace

const char* deed(Op op) {
  switch (op) {
    case Op::sew:
      return "sew";
    case Op::move:
      return "move";
    case Op::trim:
      return "trim";
    case Op::change:
      return "change";
    case Op::stop:
      return "stop";
    case Op::end:
      break;
  }
  return "end";
}

std::optional<Op> deed_named(std::string_view word) {
  for (const Op op : {Op::sew, Op::move, Op::trim, Op::change, Op::stop, Op::end}) {
    if (word == deed(op)) return op;
  }
  return std::nullopt;
}

const char* name(Quantity quantity) {
  static constexpr const char* kNames[] = {
      "stitches", "moves", "trims", "changes", "stops", "colours", "records", "record_bytes",
      "byte_sum", "left",  "right", "up",      "down",  "end_x",   "end_y"};
  static_assert(std::size(kNames) == static_cast<std::size_t>(Quantity::count_));
  return kNames[static_cast<std::size_t>(quantity)];
}

std::string write_layout(const Layout& layout) {
  std::string text = fmt::format("buckram_layout = 1\nname = {}\n", base::toml_text(layout.name));
  auto out = std::back_inserter(text);
  if (!layout.title.empty()) fmt::format_to(out, "title = {}\n", base::toml_text(layout.title));
  fmt::format_to(out, "extension = {}\nunit_mm = {}\n", base::toml_text(layout.extension),
                 layout.unit_mm);
  text += parts_text("before", layout.before) + parts_text("after", layout.after);
  for (const Kind& kind : layout.kinds) {
    fmt::format_to(out, "\n[[kind]]\nname = {}\nlength = {}\n", base::toml_text(kind.name),
                   kind.length);
    if (kind.mask != 0) {
      fmt::format_to(out, "mask = \"{}\"\nvalue = \"{}\"\n", hex_text(kind.mask, kind.length),
                     hex_text(kind.value, kind.length));
    }
    if (kind.x) fmt::format_to(out, "x = {}\n", number_text(*kind.x));
    if (kind.y) fmt::format_to(out, "y = {}\n", number_text(*kind.y));
  }
  for (const Operation& operation : layout.operations) {
    fmt::format_to(out, "\n[[operation]]\ndoes = \"{}\"\nrecords = [", deed(operation.does));
    for (const RecordForm& form : operation.records) {
      fmt::format_to(out, "\n  {},", record_text(form, layout.kinds[form.kind]));
    }
    text += "\n]\n";
  }
  return text;
}

}  // namespace buckram::machine
