#include "machine/machine.h"

#include "base/base.h"
#include "machine/entries.h"
#include "machine/thread_comment.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <iterator>
#include <optional>

namespace buckram::machine {
namespace {

using stitch::Op;

constexpr std::string_view kHeader = "index,x_mm,y_mm,op,thread,object,layer,hazard";
constexpr double kFarthestMm = 2000;

std::vector<std::string_view> fields_of(std::string_view line) {
  std::vector<std::string_view> fields;
  for (std::size_t comma = line.find(','); comma != std::string_view::npos;
       comma = line.find(',')) {
    fields.push_back(line.substr(0, comma));
    line.remove_prefix(comma + 1);
  }
  fields.push_back(line);
  return fields;
}

class Rows {
 public:
  Rows(std::string_view text, const std::string& where) : text_(text), where_(where) {}

  // The next line that is not empty, without its line end; false when there is none.
  bool next(std::string_view& line) {
    do {
      if (text_.empty()) return false;
      ++number_;
      const std::size_t end = std::min(text_.find('\n'), text_.size());
      line = text_.substr(0, end);
      text_.remove_prefix(std::min(end + 1, text_.size()));
      if (line.ends_with('\r')) line.remove_suffix(1);
    } while (line.empty());
    return true;
  }

  [[noreturn]] void fail(const std::string& what, const std::string& hint) const {
    throw base::Error{base::ErrorCode::bad_stitches, what,
                      fmt::format("{}: line {}", where_, number_), hint};
  }

 private:
  std::string_view text_;
  const std::string& where_;
  int number_ = 0;
};

// Which column holds what; -1 where there is none.
struct Columns {
  int index = -1, x = -1, y = -1, op = -1, thread = -1, object = -1, layer = -1;
  std::size_t count = 0;
};

Columns read_header(const Rows& rows, std::string_view line) {
  Columns columns;
  const auto names = fields_of(line);
  const auto find = [&](std::string_view name, bool is_needed) {
    const auto found = std::find(names.begin(), names.end(), name);
    if (found != names.end()) return static_cast<int>(found - names.begin());
    if (is_needed) {
      rows.fail(fmt::format("the header has no column {}", name),
                fmt::format("The first line is: {}", kHeader));
    }
    return -1;
  };
  columns.index = find("index", false);
  columns.x = find("x_mm", true);
  columns.y = find("y_mm", true);
  columns.op = find("op", true);
  columns.thread = find("thread", false);
  columns.object = find("object", false);
  columns.layer = find("layer", false);
  columns.count = names.size();
  return columns;
}

template <typename Number>
Number number_in(const Rows& rows, std::string_view field, std::string_view name, Number low,
                 Number high) {
  Number value{};
  const auto [end, trouble] = std::from_chars(field.data(), field.data() + field.size(), value);
  const bool is_number = trouble == std::errc{} && end == field.data() + field.size();
  if (!is_number || !(value >= low && value <= high)) {
    rows.fail(fmt::format("{} is {}, not a number from {} to {}", name,
                          field.empty() ? "empty" : plain_comment(field), low, high),
              "Mend that row");
  }
  return value;
}

Op op_in(const Rows& rows, std::string_view field) {
  static constexpr std::string_view kLetters = "smtcpe";
  if (field.size() != 1 || kLetters.find(field.front()) == std::string_view::npos) {
    rows.fail(fmt::format("op is {}", field.empty() ? "empty" : plain_comment(field)),
              "It is one of s (sew), m (move), t (trim), c (change), p (stop), e (end)");
  }
  return static_cast<Op>(field.front());
}

Entry read_row(const Rows& rows, const Columns& columns, std::string_view line, int index) {
  const auto fields = fields_of(line);
  if (fields.size() != columns.count) {
    rows.fail(fmt::format("has {} fields where the header has {}", fields.size(), columns.count),
              "The file may be cut off; copy it again");
  }
  const auto field = [&](int column) { return fields[static_cast<std::size_t>(column)]; };
  if (columns.index >= 0 &&
      number_in(rows, field(columns.index), "index", 0, kMostEntries) != index) {
    rows.fail(fmt::format("index is {}, wanted {}", field(columns.index), index),
              "Rows are missing or out of order");
  }
  Entry entry;
  entry.at.x = number_in(rows, field(columns.x), "x_mm", -kFarthestMm, kFarthestMm);
  entry.at.y = number_in(rows, field(columns.y), "y_mm", -kFarthestMm, kFarthestMm);
  entry.op = op_in(rows, field(columns.op));
  if (columns.thread >= 0) entry.thread = number_in(rows, field(columns.thread), "thread", 0, 999);
  if (columns.object >= 0) {
    entry.object = number_in(rows, field(columns.object), "object", 1, stitch::kLargestObjectId);
  }
  if (columns.layer >= 0) {
    const auto layer = layer_named(field(columns.layer));
    if (!layer)
      rows.fail("layer is " + plain_comment(field(columns.layer)),
                "It is one of under, top, lock, travel");
    entry.layer = *layer;
  }
  return entry;
}

// Rows of the same thread, object and layer that follow each other are one block.
void number_blocks(std::vector<Entry>& entries) {
  for (std::size_t i = 1; i < entries.size(); ++i) {
    const Entry& before = entries[i - 1];
    const bool same = before.thread == entries[i].thread && before.object == entries[i].object &&
                      before.layer == entries[i].layer;
    entries[i].block = before.block + (same ? 0 : 1);
  }
}

}  // namespace

std::string write_csv(const stitch::Plan& plan, const std::vector<double>& hazard) {
  BUCKRAM_ASSERT(hazard.empty() || hazard.size() == plan.op.size());
  std::string text(kHeader);
  text += '\n';
  auto out = std::back_inserter(text);
  for (const stitch::Block& block : plan.blocks) {
    for (int i = block.first; i < block.first + block.count; ++i) {
      const auto k = static_cast<std::size_t>(i);
      fmt::format_to(out, "{},{:.3f},{:.3f},{},{},{},{},", i, plan.x[k] + 0.0, plan.y[k] + 0.0,
                     static_cast<char>(plan.op[k]), block.thread, block.object,
                     stitch::name(block.layer));
      if (!hazard.empty()) fmt::format_to(out, "{:.4g}", hazard[k]);
      text += '\n';
    }
  }
  return text;
}

stitch::Plan read_csv(std::string_view text, const std::string& where) {
  Rows rows(text, where);
  std::string_view line;
  if (!rows.next(line)) rows.fail("is empty", fmt::format("The first line is: {}", kHeader));
  const Columns columns = read_header(rows, line);
  std::vector<Entry> entries;
  int n_threads = 1;
  while (rows.next(line)) {
    if (entries.size() >= static_cast<std::size_t>(kMostEntries)) {
      rows.fail(fmt::format("has more than {} rows", kMostEntries), "Split the file");
    }
    if (!entries.empty() && entries.back().op == Op::end) {
      rows.fail("a row follows the end", "op e stands only in the last row");
    }
    entries.push_back(read_row(rows, columns, line, static_cast<int>(entries.size())));
    n_threads = std::max(n_threads, entries.back().thread + 1);
  }
  if (entries.empty() || entries.back().op != Op::end) {
    rows.fail("the last row is not an end (op e)", "The file may be cut off; copy it again");
  }
  if (columns.thread >= 0 && columns.object >= 0 && columns.layer >= 0) {
    number_blocks(entries);
  } else {
    for (Entry& entry : entries) entry.block = -1;
  }
  std::vector<stitch::PlanThread> threads;
  for (int i = 0; i < n_threads; ++i) threads.push_back(unnamed_thread(i));
  return plan_of(std::move(entries), std::move(threads), where);
}

}  // namespace buckram::machine
