#include "machine/layout_file.h"

#include "base/base.h"
#include "machine/bits.h"

#include <fmt/format.h>

namespace buckram::machine {
namespace {

using stitch::Op;

// Steps in batches, so that a long table needs no memory of its own size.
std::string differing_step(const Codec& codec, const std::vector<Step>& steps) {
  std::string bytes;
  for (const Step& step : steps) {
    if (!codec.append(step, bytes)) {
      return fmt::format("{} by {}, {} cannot be written", static_cast<char>(step.op), step.dx,
                         step.dy);
    }
  }
  const std::vector<Step> back = codec.decode_all(bytes).steps;
  for (std::size_t i = 0; i < steps.size(); ++i) {
    if (i < back.size() && back[i] == steps[i]) continue;
    const Step other = i < back.size() ? back[i] : Step{};
    return fmt::format("{} by {}, {} comes back as {} by {}, {}", static_cast<char>(steps[i].op),
                       steps[i].dx, steps[i].dy, static_cast<char>(other.op), other.dx, other.dy);
  }
  return "";
}

}  // namespace

std::string write_steps(const Layout& layout, const std::vector<Step>& steps) {
  return write_steps(layout, Codec(layout), steps);
}

std::string write_steps(const Layout& layout, const Codec& codec, const std::vector<Step>& steps) {
  std::string records;
  std::size_t n_records = 0;
  for (std::size_t i = 0; i < steps.size(); ++i) {
    const Step& step = steps[i];
    const bool is_bare_end = step.op == Op::end && !codec.can_do(Op::end);
    if (is_bare_end) continue;
    const int n = codec.append(step, records);
    if (n == 0) {
      throw base::Error{
          base::ErrorCode::bad_stitches,
          step.op == Op::change ? fmt::format("needle {} has no code in the layout", step.needle)
                                : fmt::format("`{}` by {}, {} units has no code in the layout",
                                              static_cast<char>(step.op), step.dx, step.dy),
          fmt::format("step {}", i + 1), "Check the layout with `buckram layout check`"};
    }
    n_records += static_cast<std::size_t>(n);
  }
  const Tally tally = tally_of(steps, records, n_records);
  return parts_text(layout.before, tally) + records + parts_text(layout.after, tally);
}

StepFile read_steps(const Layout& layout, std::string_view bytes, const std::string& where) {
  const std::size_t before = size_of(layout.before), after = size_of(layout.after);
  StepFile file;
  if (bytes.size() < before + after) {
    throw base::Error{base::ErrorCode::bad_stitches,
                      fmt::format("has {} bytes, and {} stand before and after the records",
                                  bytes.size(), before + after),
                      where, "The file may be cut off; copy it again"};
  }
  check_parts(layout.before, {}, bytes, 0, where, file.disagreements);  // of this layout at all?
  file.disagreements.clear();
  const std::size_t end = bytes.size() - after;
  const Codec codec(layout);
  file.names_needles = codec.names_needles();
  file.decoded = codec.decode(bytes, before, end, where);
  if (file.decoded.end != end) {
    throw base::Error{base::ErrorCode::bad_stitches,
                      fmt::format("{} bytes follow the end and the {} that stand after it",
                                  end - file.decoded.end, after),
                      fmt::format("{}: byte {}", where, file.decoded.end),
                      "Check what stands after the records in this layout"};
  }
  file.tally =
      tally_of(file.decoded.steps, bytes.substr(before, end - before), file.decoded.n_records);
  check_parts(layout.before, file.tally, bytes, 0, where, file.disagreements);
  check_parts(layout.after, file.tally, bytes, end, where, file.disagreements);
  return file;
}

std::string first_not_returned(const Layout& layout) {
  const Codec codec(layout);
  for (std::size_t i = 0; i < layout.operations.size(); ++i) {
    const Op op = layout.operations[i].does;
    if (op != Op::sew && op != Op::move) continue;
    const OperationRange range = codec.range_of(i);
    for (const bool is_x : {true, false}) {
      const StepRange& along = is_x ? range.x : range.y;
      std::vector<Step> steps;
      for (int v = along.least; v <= along.most; ++v) {
        const Step step{.op = op, .dx = is_x ? v : 0, .dy = is_x ? 0 : v};
        if (codec.holds(step)) steps.push_back(step);
      }
      const std::string differs = differing_step(codec, steps);
      if (!differs.empty()) return differs;
    }
  }
  return "";
}

}  // namespace buckram::machine
