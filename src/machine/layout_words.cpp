// What a layout and a file of it hold, in words.
#include "machine/bits.h"
#include "machine/layout_file.h"

#include <fmt/format.h>

#include <algorithm>

namespace buckram::machine {
namespace {

using stitch::Op;

std::string range_words(const char* axis, const StepRange& range, double unit_mm) {
  std::string text = fmt::format("{} {} to {} ({:g} to {:g} mm)", axis, range.low, range.high,
                                 range.low * unit_mm, range.high * unit_mm);
  if (range.n_missing > 0) {
    text += fmt::format(", of {} to {} without {} such as {}", range.least, range.most,
                        range.n_missing, range.first_missing);
  }
  return text;
}

std::string shown(std::string_view bytes) {
  const bool is_text =
      std::all_of(bytes.begin(), bytes.end(), [](char c) { return c >= ' ' && c <= '~'; });
  return is_text ? fmt::format("\"{}\"", bytes) : hex_text(bytes);
}

}  // namespace

std::vector<std::string> describe_layout(const Layout& layout) {
  std::vector<std::string> lines;
  for (const OperationRange& range : ranges_of(layout)) {
    lines.push_back(fmt::format("{} as {}: {}; {}", deed(range.does), range.kind,
                                range_words("x", range.x, layout.unit_mm),
                                range_words("y", range.y, layout.unit_mm)));
  }
  const Codec codec(layout);
  if (!codec.can_do(Op::trim)) lines.emplace_back("no trim: threads are cut by hand");
  if (!codec.can_do(Op::change)) lines.emplace_back("no thread change: one thread a file");
  if (!codec.can_do(Op::stop)) lines.emplace_back("no stop");
  if (!codec.can_do(Op::end))
    lines.emplace_back("no end: the records go on to the end of the file");
  if (!codec.names_needles()) lines.emplace_back("changes do not name the needle");
  return lines;
}

std::vector<std::string> describe_file(const Layout& layout, std::string_view bytes,
                                       const std::string& where) {
  const StepFile file = read_steps(layout, bytes, where);
  const Codec::Decoded& decoded = file.decoded;
  const Tally& tally = file.tally;
  std::vector<std::string> lines;
  lines.push_back(fmt::format("{} bytes before the records, {} of records, {} after them",
                              size_of(layout.before), tally[Quantity::record_bytes],
                              size_of(layout.after)));
  for (std::size_t k = 0; k < layout.kinds.size(); ++k) {
    lines.push_back(fmt::format("records of kind {} ({} bytes): {}", layout.kinds[k].name,
                                layout.kinds[k].length, decoded.n_kinds[k]));
  }
  for (std::size_t i = 0; i < layout.operations.size(); ++i) {
    const Operation& operation = layout.operations[i];
    lines.push_back(fmt::format("{} as {}: {}", deed(operation.does),
                                layout.kinds[operation.records.front().kind].name,
                                decoded.n_operations[i]));
  }
  const double unit = layout.unit_mm;
  const auto counted = [&](Quantity q, const char* one, const char* many) {
    return fmt::format("{} {}", tally[q], tally[q] == 1 ? one : many);
  };
  lines.push_back(fmt::format("{}, {}, {}, {}", counted(Quantity::stitches, "stitch", "stitches"),
                              counted(Quantity::changes, "thread change", "thread changes"),
                              counted(Quantity::trims, "trim", "trims"),
                              counted(Quantity::stops, "stop", "stops")));
  const auto mm = [&](Quantity q) { return static_cast<double>(tally[q]) * unit + 0.0; };
  lines.push_back(fmt::format(
      "from the start {:.2f} mm to the left, {:.2f} to the right, {:.2f} up, {:.2f} down",
      mm(Quantity::left), mm(Quantity::right), mm(Quantity::up), mm(Quantity::down)));
  lines.push_back(fmt::format("ends {:.2f}, {:.2f} mm from the start", mm(Quantity::end_x),
                              mm(Quantity::end_y)));
  for (const Disagreement& each : file.disagreements) {
    lines.push_back(fmt::format("byte {}: {} says {}, the records say {} ({})", each.at,
                                name(each.quantity), shown(each.found), shown(each.expected),
                                tally[each.quantity]));
  }
  return lines;
}

}  // namespace buckram::machine
