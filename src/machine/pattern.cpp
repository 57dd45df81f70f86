#include "machine/pattern.h"

#include "base/base.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <iterator>
#include <numeric>
#include <set>

namespace buckram::machine {
namespace {

using stitch::Op;

constexpr std::string_view kHeader = "op,x_mm,y_mm,needle";
constexpr double kFarthestMm = 20'000;

// Growing lengths: every one to twelve, then by a quarter, up to the longest.
std::vector<int> lengths_to(int longest) {
  std::vector<int> all;
  for (int v = 1; v < longest; v = v < 12 ? v + 1 : v + (v + 3) / 4) all.push_back(v);
  all.push_back(longest);
  return all;
}

class Drawer {
 public:
  explicit Drawer(std::string name) { pattern_.name = std::move(name); }
  void go(Op op, int dx, int dy) { pattern_.steps.push_back({.op = op, .dx = dx, .dy = dy}); }
  void sew(int dx, int dy) { go(Op::sew, dx, dy); }
  void only(Op op, int needle = 0) { pattern_.steps.push_back({.op = op, .needle = needle}); }
  // The same few stitches time and again: records that repeat show where records begin.
  void squares(int times, int side) {
    for (int k = 0; k < times; ++k) {
      sew(side, 0);
      sew(0, side);
      sew(-side, 0);
      sew(0, -side);
    }
  }
  Pattern done() && {
    only(Op::end);
    return std::move(pattern_);
  }
  std::size_t size() const { return pattern_.steps.size(); }

 private:
  Pattern pattern_;
};

Pattern square(int longest) {
  Drawer draw("square");
  draw.squares(3, std::min(longest, 20));
  // Left and down by more than a byte can say.
  for (int k = 0; k * longest < 700; ++k) draw.sew(-longest, 0);
  for (int k = 0; k * longest < 400; ++k) draw.sew(3, -longest);
  draw.sew(-7, -5);
  return std::move(draw).done();
}

Pattern ladder(int longest) {
  const std::vector<int> all = lengths_to(longest);
  const std::size_t n = all.size();
  Drawer draw("ladder");
  draw.squares(2, 5);
  for (const int v : all) draw.sew(v, 0);
  for (const int v : all) draw.sew(0, v);
  for (const int v : all) draw.sew(-v, 0);
  for (const int v : all) draw.sew(0, -v);
  for (std::size_t i = 0; i < n; ++i) {
    const int v = all[i], near = all[(i + 1) % n], far = all[(7 * i + 3) % n];
    draw.sew(v, near);
    draw.sew(near, -v);
    draw.sew(-v, -near);
    draw.sew(-near, v);
    draw.sew(v, -far);
    draw.sew(-far, v);
    draw.sew(-v, far);
    draw.sew(far, -v);
  }
  while (draw.size() < 300) draw.squares(1, 3);
  draw.sew(-6, 7);
  return std::move(draw).done();
}

Pattern moves(int longest) {
  const std::vector<int> all = lengths_to(longest);
  const std::size_t n = all.size();
  Drawer draw("moves");
  draw.squares(2, 6);
  for (std::size_t i = 0; i < n; ++i) {
    const int v = all[i], far = all[(7 * i + 3) % n];
    draw.go(Op::move, v, 0);
    draw.sew(2, -1);
    draw.go(Op::move, 0, v);
    draw.go(Op::move, -v, 0);
    draw.sew(-3, 4);
    draw.sew(1, 1);
    draw.go(Op::move, 0, -v);
    draw.go(Op::move, v, -far);
    draw.go(Op::move, -far, v);
    draw.sew(-2, 3);
    draw.go(Op::move, -v, far);
    draw.go(Op::move, far, -v);
  }
  draw.sew(-5, -2);
  return std::move(draw).done();
}

Pattern operations(int needles) {
  Drawer draw("operations");
  const auto between = [&draw] {
    draw.sew(5, -7);
    draw.sew(-4, 6);
    draw.sew(3, 2);
  };
  draw.squares(2, 4);
  for (int k = 0; k < 3; ++k) {
    draw.only(Op::trim);
    between();
  }
  // Every needle once, near ones apart.
  int stride = 5;
  while (std::gcd(needles, stride) != 1) ++stride;
  for (int k = 0; k < needles; ++k) {
    draw.only(Op::change, 1 + (stride * (k + 1)) % needles);
    between();
  }
  for (int k = 0; k < 2; ++k) {
    draw.only(Op::stop);
    between();
  }
  draw.only(Op::trim);
  draw.go(Op::move, 7, 3);
  between();
  draw.only(Op::trim);
  draw.go(Op::move, -6, 2);
  between();
  draw.sew(-8, -8);
  return std::move(draw).done();
}

[[noreturn]] void fail(const std::string& what, const std::string& where, int line,
                       const std::string& hint) {
  throw base::Error{base::ErrorCode::bad_stitches, what, fmt::format("{}: line {}", where, line),
                    hint};
}

struct Row {
  Op op = Op::sew;
  double x_mm = 0, y_mm = 0;
  int needle = 0;
};

double number_in(std::string_view field, const std::string& where, int line) {
  double value = 0;
  const auto [end, trouble] = std::from_chars(field.data(), field.data() + field.size(), value);
  const bool is_good = trouble == std::errc{} && end == field.data() + field.size() &&
                       std::abs(value) <= kFarthestMm;
  if (!is_good) {
    fail(fmt::format("\"{}\" is not a number of mm", base::shown(field)), where, line,
         "Write digits, with a point before decimals");
  }
  return value;
}

Row row_of(std::string_view text, const std::string& where, int line) {
  std::vector<std::string_view> fields;
  for (std::size_t at = 0; at <= text.size();) {
    const std::size_t comma = std::min(text.find(',', at), text.size());
    fields.push_back(text.substr(at, comma - at));
    at = comma + 1;
  }
  if (fields.size() != 4) {
    fail(fmt::format("has {} fields, not 4", fields.size()), where, line,
         fmt::format("A line is {}", kHeader));
  }
  Row row;
  const auto named = deed_named(fields[0]);
  if (!named) {
    fail(fmt::format("\"{}\" is nothing a machine does here", base::shown(fields[0])), where, line,
         "It is one of sew, move, trim, change, stop, end");
  }
  row.op = *named;
  row.x_mm = number_in(fields[1], where, line);
  row.y_mm = number_in(fields[2], where, line);
  const double needle = fields[3].empty() ? 0 : number_in(fields[3], where, line);
  if (needle != std::floor(needle) || needle < 0 || needle > 999) {
    fail(fmt::format("\"{}\" is not a needle", fields[3]), where, line, "Needles count from 1");
  }
  row.needle = static_cast<int>(needle);
  return row;
}

// In whole units; `at` is where the one before ended.
Step step_of(const Row& row, double unit_mm, geometry::Point& at, const std::string& where,
             int line) {
  const double x = row.x_mm / unit_mm, y = row.y_mm / unit_mm;
  const bool is_whole = std::abs(x - std::round(x)) < 0.01 && std::abs(y - std::round(y)) < 0.01;
  if (!is_whole) {
    fail(fmt::format("{:g}, {:g} mm is not a whole number of units of {:g} mm", row.x_mm, row.y_mm,
                     unit_mm),
         where, line, "Give the unit that the patterns were made for");
  }
  Step step{.op = row.op, .needle = row.op == Op::change ? row.needle : 0};
  step.dx = static_cast<int>(std::round(x) - at.x);
  step.dy = static_cast<int>(std::round(y) - at.y);
  at = {std::round(x), std::round(y)};
  const bool goes = row.op == Op::sew || row.op == Op::move;
  if (!goes && (step.dx != 0 || step.dy != 0)) {
    fail(fmt::format("{} stands elsewhere than the line before", deed(row.op)), where, line,
         "Repeat the place, or move there first");
  }
  return step;
}

}  // namespace

void PatternOptions::check() const {
  const auto refuse = [](const std::string& what, const char* where) {
    throw base::Error{base::ErrorCode::bad_job, what, where, "The machine's manual says it"};
  };
  const bool has_unit = unit_mm >= 0.001 && unit_mm <= 5;
  if (!has_unit) refuse(fmt::format("is {:g} mm, outside 0.001 to 5", unit_mm), "--unit");
  const bool has_longest =
      longest_mm >= 8 * unit_mm * (1 - 1e-9) && longest_mm <= kLargestWeight * unit_mm;
  if (!has_longest) {
    refuse(fmt::format("is {:g} mm, outside 8 to {} units of {:g} mm", longest_mm, kLargestWeight,
                       unit_mm),
           "--longest");
  }
  if (needles < 1 || needles > 99)
    refuse(fmt::format("is {}, outside 1 to 99", needles), "--needles");
}

std::vector<Pattern> patterns_for(const PatternOptions& options) {
  options.check();
  const int longest = static_cast<int>(std::floor(options.longest_mm / options.unit_mm + 1e-6));
  return {square(longest), ladder(longest), moves(longest), operations(options.needles)};
}

Pattern further_pattern(const std::vector<Pattern>& seen, int longest) {
  std::set<std::pair<int, int>> known;
  for (const Pattern& pattern : seen) {
    for (const Step& step : pattern.steps) {
      if (step.op == Op::sew) known.emplace(step.dx, step.dy);
    }
  }
  Drawer draw("further");
  draw.squares(2, std::min(longest, 5));
  for (int v = 1; v <= longest && draw.size() < kMostPatternSteps / 2; ++v) {
    for (const auto& [dx, dy] : {std::pair{v, 0}, {0, v}, {-v, 0}, {0, -v}}) {
      if (!known.contains({dx, dy})) draw.sew(dx, dy);
    }
  }
  return std::move(draw).done();
}

std::string write_pattern(const Pattern& pattern, double unit_mm) {
  std::string text = fmt::format("{}\n", kHeader);
  long long x = 0, y = 0;
  for (const Step& step : pattern.steps) {
    x += step.dx;
    y += step.dy;
    fmt::format_to(std::back_inserter(text), "{},{:.4f},{:.4f},{}\n", deed(step.op),
                   static_cast<double>(x) * unit_mm + 0.0, static_cast<double>(y) * unit_mm + 0.0,
                   step.op == Op::change && step.needle > 0 ? std::to_string(step.needle) : "");
  }
  return text;
}

Pattern read_pattern(std::string_view csv, const std::string& where, double unit_mm) {
  Pattern pattern{.name = where, .steps = {}};
  geometry::Point at{0, 0};
  int line = 0;
  while (!csv.empty()) {
    ++line;
    const std::size_t end = std::min(csv.find('\n'), csv.size());
    std::string_view text = csv.substr(0, end);
    csv.remove_prefix(std::min(end + 1, csv.size()));
    if (text.ends_with('\r')) text.remove_suffix(1);
    if (line == 1 && text != kHeader) {
      fail("is not a pattern", where, line, fmt::format("The first line is {}", kHeader));
    }
    if (line == 1 || text.empty()) continue;
    if (!pattern.steps.empty() && pattern.steps.back().op == Op::end) {
      fail("a line follows the end", where, line, "end stands only in the last line");
    }
    if (pattern.steps.size() >= kMostPatternSteps) {
      fail(fmt::format("has more than {} lines", kMostPatternSteps), where, line, "Shorten it");
    }
    pattern.steps.push_back(step_of(row_of(text, where, line), unit_mm, at, where, line));
  }
  if (pattern.steps.empty() || pattern.steps.back().op != Op::end) {
    fail("the last line is not an end", where, line, "The file may be cut off; copy it again");
  }
  return pattern;
}

}  // namespace buckram::machine
