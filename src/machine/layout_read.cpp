// A description as TOML: read strictly, written so that it reads back the same.
#include "base/base.h"
#include "machine/bits.h"
#include "machine/layout.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace buckram::machine {
namespace {

using base::Table;
using stitch::Op;

constexpr std::size_t kMostPartBytes = 4096;
constexpr std::size_t kMostParts = 64;

[[noreturn]] void fail(const Table& table, std::string_view key, const std::string& what,
                       const std::string& hint) {
  throw base::Error{base::ErrorCode::bad_data, what, fmt::format("{}: {}", table.where(), key),
                    hint};
}

std::string bytes_at(const Table& table, std::string_view key) {
  const std::string text = table.text(key);
  const auto bytes = bytes_in(text);
  if (!bytes) {
    fail(table, key, fmt::format("\"{}\" is not bytes", base::shown(text)),
         "Write pairs of hexadecimal digits, as \"51 0D\"");
  }
  return *bytes;
}

// "80 00" of a record of two bytes; absent: no bits.
Bits bits_at(const Table& table, std::string_view key, int length) {
  if (!table.has(key)) return 0;
  const std::string bytes = bytes_at(table, key);
  if (bytes.size() != static_cast<std::size_t>(length)) {
    fail(table, key, fmt::format("has {} bytes where the record has {}", bytes.size(), length),
         "Write every byte of the record, 00 where no bit matters");
  }
  return word_at(bytes, 0);
}

int place_of(const Table& table, std::string_view key, const std::string& text) {
  const auto place = place_in(text);
  if (!place) {
    fail(table, key, fmt::format("\"{}\" is not a bit", base::shown(text)),
         "Write BYTE.BIT, both counted from 0, bit 0 the lowest: \"1.7\" is the highest bit of the "
         "second byte");
  }
  return *place;
}

Number number_of(const Table& table) {
  Number number;
  for (const std::string& text : table.texts("bits")) {
    number.bits.push_back(place_of(table, "bits", text));
  }
  for (const double w : table.numbers("weights", {-kLargestWeight, kLargestWeight})) {
    if (w != std::floor(w) || w == 0) {
      fail(table, "weights", fmt::format("{:g} is not a weight", w), "Write whole numbers but 0");
    }
    number.weights.push_back(static_cast<int>(w));
  }
  if (number.bits.size() != number.weights.size()) {
    fail(table, "weights",
         fmt::format("there are {} for {} bits", number.weights.size(), number.bits.size()),
         "Give each bit its weight, in the same order");
  }
  if (number.bits.size() > static_cast<std::size_t>(kMostAxisBits)) {
    fail(table, "bits", fmt::format("there are {}", number.bits.size()),
         fmt::format("A number may have {}", kMostAxisBits));
  }
  number.offset = table.integer("offset", {-kLargestWeight, kLargestWeight}, 0);
  if (table.has("negate")) number.negate = place_of(table, "negate", table.text("negate"));
  table.refuse_unknown();
  return number;
}

Kind kind_of(const Table& table) {
  Kind kind;
  kind.name = table.text("name");
  kind.length = table.integer("length", {1, kLongestRecord});
  kind.mask = bits_at(table, "mask", kind.length);
  kind.value = bits_at(table, "value", kind.length);
  if (const auto x = table.table("x")) kind.x = number_of(*x);
  if (const auto y = table.table("y")) kind.y = number_of(*y);
  table.refuse_unknown();
  return kind;
}

RecordForm record_of(const Table& table, const std::vector<Kind>& kinds) {
  RecordForm form;
  const std::string name = table.text("kind");
  std::vector<std::string> names;
  for (const Kind& kind : kinds) names.push_back(kind.name);
  const auto found = std::find(names.begin(), names.end(), name);
  if (found == names.end()) {
    const std::string nearest = base::nearest_name(name, names);
    fail(table, "kind", fmt::format("no kind is called \"{}\"", base::shown(name)),
         nearest.empty() ? "Describe it under [[kind]]" : "Did you mean " + nearest + "?");
  }
  form.kind = static_cast<std::size_t>(found - names.begin());
  form.mask = bits_at(table, "mask", kinds[form.kind].length);
  form.value = bits_at(table, "value", kinds[form.kind].length);
  form.times = table.integer("times", {1, static_cast<double>(kMostInARow)}, 1);
  if (const auto needle = table.table("needle")) form.needle = number_of(*needle);
  table.refuse_unknown();
  return form;
}

Operation operation_of(const Table& table, const std::vector<Kind>& kinds) {
  Operation operation;
  const std::string does = table.text("does");
  const auto named = deed_named(does);
  if (!named) {
    fail(table, "does", fmt::format("\"{}\" is nothing a machine does here", base::shown(does)),
         "It is one of sew, move, trim, change, stop, end");
  }
  operation.does = *named;
  for (const Table& each : table.tables("records")) {
    operation.records.push_back(record_of(each, kinds));
  }
  table.refuse_unknown();
  return operation;
}

Part field_of(const Table& table) {
  Part part{.what = Part::What::field};
  const std::string quantity = table.text("field");
  std::vector<std::string> names;
  for (int q = 0; q < static_cast<int>(Quantity::count_); ++q) {
    names.emplace_back(name(static_cast<Quantity>(q)));
  }
  const auto found = std::find(names.begin(), names.end(), quantity);
  if (found == names.end()) {
    const std::string nearest = base::nearest_name(quantity, names);
    fail(table, "field", fmt::format("\"{}\" is not a known number", base::shown(quantity)),
         nearest.empty() ? fmt::format("Known are {}", fmt::join(names, ", "))
                         : "Did you mean " + nearest + "?");
  }
  part.quantity = static_cast<Quantity>(found - names.begin());
  part.is_text = !table.has("bytes");
  if (!part.is_text) {
    part.width = table.integer("bytes", {1, 4});
    part.high_first = table.truth("high_first", false);
    part.is_signed = table.truth("signed", false);
    return part;
  }
  part.width = table.integer("width", {1, 20});
  const std::string pad = table.text("pad", " ");
  if (pad != " " && pad != "0") {
    fail(table, "pad", fmt::format("\"{}\" fills up no number", base::shown(pad)),
         "Write \" \" or \"0\"");
  }
  part.pad = pad.front();
  part.is_left = table.truth("left", false);
  part.has_plus = table.truth("plus", false);
  if (part.is_left && part.pad == '0') {
    fail(table, "pad", "zeros behind a number change it", "Write \" \", or leave out left");
  }
  return part;
}

// `so_far` bytes stand before it.
Part part_of(const Table& table, std::size_t so_far) {
  Part part;
  if (table.has("field")) {
    part = field_of(table);
  } else if (table.has("text")) {
    part.bytes = table.text("text");
  } else if (table.has("free")) {
    part = {.what = Part::What::free, .bytes = bytes_at(table, "free")};
  } else if (table.has("fill")) {
    const std::string fill = bytes_at(table, "fill");
    const int to = table.integer("to", {1, static_cast<double>(kMostPartBytes)});
    if (fill.size() != 1) fail(table, "fill", "is not one byte", "Write it as \"20\"");
    if (static_cast<std::size_t>(to) <= so_far) {
      fail(table, "to", fmt::format("is {}, and {} bytes stand before it", to, so_far),
           "Count from the first of these parts");
    }
    part.bytes.assign(static_cast<std::size_t>(to) - so_far, fill.front());
  } else {
    part.bytes = bytes_at(table, "bytes");
  }
  table.refuse_unknown();
  if (part.size() == 0) fail(table, "bytes", "is empty", "Leave the part out");
  return part;
}

std::vector<Part> parts_of(const Table& table, std::string_view key) {
  std::vector<Part> parts;
  const std::vector<Table> tables = table.tables(key);
  if (tables.size() > kMostParts) {
    fail(table, key, fmt::format("has {} parts, {} at most", tables.size(), kMostParts),
         "Join bytes that follow each other");
  }
  for (const Table& each : tables) {
    parts.push_back(part_of(each, size_of(parts)));
    if (size_of(parts) > kMostPartBytes) {
      fail(table, key, fmt::format("has more than {} bytes", kMostPartBytes),
           "Check the lengths of its parts");
    }
  }
  return parts;
}

void check_extension(const Table& table, const std::string& extension) {
  const bool is_plain =
      !extension.empty() && extension.size() <= 12 &&
      std::all_of(extension.begin(), extension.end(), [](char c) {
        return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
      });
  if (!is_plain) {
    fail(table, "extension", fmt::format("\"{}\" is not an ending", base::shown(extension)),
         "Use up to 12 letters and digits, without the dot");
  }
  for (const char* ours : {"json", "csv", "svg", "gcode", "ngc", "nc", "toml", "pdf", "png"}) {
    if (extension != ours) continue;
    fail(table, "extension", fmt::format("\"{}\" is another kind of file here", extension),
         "Choose another; the file may be renamed for the machine");
  }
}

}  // namespace

std::size_t size_of(const std::vector<Part>& parts) {
  std::size_t size = 0;
  for (const Part& part : parts) size += part.size();
  return size;
}

Layout read_layout(std::string_view toml, const std::string& where) {
  const Table table = Table::parse(toml, where);
  table.integer("buckram_layout", {1, 1});
  Layout layout;
  layout.name = table.text("name");
  layout.title = table.text("title", "");
  layout.extension = table.text("extension");
  check_extension(table, layout.extension);
  layout.unit_mm = table.number("unit_mm", {0.001, 5});
  layout.before = parts_of(table, "before");
  layout.after = parts_of(table, "after");
  const std::vector<Table> kinds = table.tables("kind"), operations = table.tables("operation");
  if (kinds.size() > kMostKinds || operations.size() > kMostOperations) {
    throw base::Error{
        base::ErrorCode::bad_data,
        fmt::format("has {} kinds and {} operations", kinds.size(), operations.size()), where,
        fmt::format("{} and {} are the most", kMostKinds, kMostOperations)};
  }
  for (const Table& each : kinds) layout.kinds.push_back(kind_of(each));
  for (const Table& each : operations) {
    layout.operations.push_back(operation_of(each, layout.kinds));
  }
  table.refuse_unknown();
  const std::vector<std::string> faults = faults_of(layout);
  if (!faults.empty()) {
    throw base::Error{base::ErrorCode::bad_data, fmt::format("{}", fmt::join(faults, "; ")), where,
                      "docs/layouts.md says what each part of a layout must keep to"};
  }
  return layout;
}

}  // namespace buckram::machine
