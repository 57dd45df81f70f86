#include "artwork/thread_list.h"

#include "artwork/css_colour.h"
#include "artwork/svg_numbers.h"
#include "base/base.h"

#include <fmt/format.h>

#include <array>
#include <set>
#include <vector>

namespace buckram::artwork {
namespace {

constexpr base::Range kTex{5, 200};

[[noreturn]] void refuse(std::string what, std::string where, std::string hint) {
  throw base::Error{base::ErrorCode::bad_data, std::move(what), std::move(where), std::move(hint)};
}

Rgb read_colour(std::string_view text, const std::string& where) {
  const auto ink = trimmed(text).starts_with('#') ? parse_colour(text) : std::nullopt;
  if (!ink || ink->alpha != 1)
    refuse(fmt::format("'{}' is not a colour", text), where,
           "write it as #rrggbb, for example #1b3a5c");
  return ink->colour;
}

// The fields of one line; a field in double quotes may hold commas, "" stands for one quote.
std::vector<std::string> csv_fields(std::string_view line) {
  std::vector<std::string> fields(1);
  bool is_quoted = false;
  for (std::size_t i = 0; i < line.size(); ++i) {
    const char c = line[i];
    if (c == '"' && is_quoted && line.substr(i + 1, 1) == "\"") {
      fields.back() += c;
      ++i;
    } else if (c == '"') {
      is_quoted = !is_quoted;
    } else if (c == ',' && !is_quoted) {
      fields.emplace_back();
    } else {
      fields.back() += c;
    }
  }
  for (std::string& field : fields) field = std::string(trimmed(field));
  return fields;
}

struct Line {
  std::string_view text;
  int number;  // from 1
};

// '#' starts a comment, unless it starts a colour in the first column.
bool is_comment(std::string_view line) {
  return line.front() == '#' && !parse_colour(line.substr(0, line.find(','))).has_value();
}

// Lines that hold something.
std::vector<Line> lines_of(std::string_view text) {
  std::vector<Line> lines;
  int number = 0;
  while (!text.empty()) {
    const auto end = text.find('\n');
    const std::string_view line = trimmed(text.substr(0, end));
    ++number;
    if (!line.empty() && !is_comment(line)) lines.push_back({line, number});
    text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
  }
  return lines;
}

constexpr std::array<std::string_view, 4> kColumns = {"name", "number", "rgb", "tex"};

// Which field holds each of kColumns; -1 for a column that is left out (number and tex may be).
std::array<int, 4> read_header(const Line& line, const std::string& where) {
  std::array<int, 4> place = {-1, -1, -1, -1};
  const auto fields = csv_fields(line.text);
  for (std::size_t f = 0; f < fields.size(); ++f) {
    for (std::size_t c = 0; c < kColumns.size(); ++c)
      if (lower_case(fields[f]) == kColumns[c]) place[c] = static_cast<int>(f);
  }
  if (place[0] < 0 || place[2] < 0)
    refuse(fmt::format("the header is '{}', without a column name or rgb", line.text), where,
           "start the list with the line name,number,rgb,tex");
  return place;
}

double read_tex(const std::string& text, const std::string& where) {
  const NumberList list = parse_numbers(text);
  if (!list.complete || list.values.size() != 1 || list.values[0] < kTex.low ||
      list.values[0] > kTex.high)
    refuse(fmt::format("tex is '{}', not a number from {} to {}", text, kTex.low, kTex.high), where,
           "size 40 thread is tex 27");
  return list.values[0];
}

Thread read_csv_thread(const Line& line, const std::array<int, 4>& place,
                       const std::string& where) {
  const auto fields = csv_fields(line.text);
  const std::string here = fmt::format("{}: line {}", where, line.number);
  const auto field = [&](std::size_t c) {
    const int at = place[c];
    return at >= 0 && at < static_cast<int>(fields.size()) ? fields[static_cast<std::size_t>(at)]
                                                           : std::string();
  };
  Thread thread{field(0), field(1), {}, 27};
  if (thread.name.empty()) refuse("a thread without a name", here, "every thread needs a name");
  thread.colour = read_colour(field(2), here);
  if (!field(3).empty()) thread.tex = read_tex(field(3), here);
  return thread;
}

std::vector<Thread> read_csv(std::string_view text, const std::string& where) {
  const auto lines = lines_of(text);
  if (lines.empty()) return {};
  const auto place =
      read_header(lines.front(), fmt::format("{}: line {}", where, lines.front().number));
  std::vector<Thread> threads;
  for (std::size_t i = 1; i < lines.size(); ++i)
    threads.push_back(read_csv_thread(lines[i], place, where));
  return threads;
}

std::vector<Thread> read_toml(std::string_view text, const std::string& where) {
  const base::Table document = base::Table::parse(text, where);
  std::vector<Thread> threads;
  for (const base::Table& entry : document.tables("thread")) {
    Thread thread{entry.text("name"), entry.text("number", ""), {}, 27};
    thread.colour = read_colour(entry.text("rgb"), entry.where());
    thread.tex = entry.number("tex", kTex, 27);
    entry.refuse_unknown();
    threads.push_back(std::move(thread));
  }
  document.refuse_unknown();
  return threads;
}

// TOML has its tables in [[thread]]; a CSV line cannot start so.
bool looks_like_toml(std::string_view text) {
  const auto lines = lines_of(text);
  return !lines.empty() && (lines.front().text.front() == '[' ||
                            lines.front().text.find('=') != std::string_view::npos);
}

}  // namespace

std::vector<Thread> read_threads(std::string_view text, const std::string& where) {
  if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
  std::vector<Thread> threads =
      looks_like_toml(text) ? read_toml(text, where) : read_csv(text, where);
  if (threads.empty())
    refuse("no threads in the list", where, "give at least one: name,number,rgb,tex");
  std::set<std::string> names;
  for (const Thread& thread : threads) {
    if (!names.insert(thread.name).second)
      refuse(fmt::format("thread '{}' is given twice", thread.name), where, "give each name once");
  }
  return threads;
}

int nearest_thread(Rgb colour, const std::vector<Thread>& threads) {
  BUCKRAM_ASSERT(!threads.empty());
  const Lab wanted = to_lab(colour);
  int best = 0;
  double least = difference(wanted, to_lab(threads[0].colour));
  for (std::size_t i = 1; i < threads.size(); ++i) {
    const double d = difference(wanted, to_lab(threads[i].colour));
    if (d < least) least = d, best = static_cast<int>(i);
  }
  return best;
}

}  // namespace buckram::artwork
