#include "artwork/outline.h"

#include <fmt/format.h>

#include <cctype>

namespace buckram::artwork {
namespace {

using geometry::Point;

// Builds an outline command by command. Every method returns false where the data end short or
// make no sense; what was added before stays.
class PathReader {
 public:
  PathReader(std::string_view data, std::size_t most_steps) : in_(data), left_(most_steps) {}

  ParsedPath read() {
    const std::size_t length = in_.rest().size();
    while (!in_.done()) {
      const char letter = in_.peek();
      if (!std::isalpha(static_cast<unsigned char>(letter)))
        return failed(length, "a command is missing");
      in_.skip(letter);
      const char command = static_cast<char>(std::toupper(static_cast<unsigned char>(letter)));
      is_relative_ = letter != command;
      is_first_ = true;
      if (out_.empty() && command != 'M')
        return failed(length, "the data do not start with a move");
      if (!run(command)) return failed(length, fmt::format("command '{}' is not complete", letter));
    }
    return {std::move(out_), ""};
  }

 private:
  ParsedPath failed(std::size_t length, std::string why) {
    if (left_ == 0) why = "it holds too many points";
    return {std::move(out_),
            fmt::format("{} (character {} of its data)", why, length - in_.rest().size() + 1)};
  }

  // One command letter with all the argument sets that follow it.
  bool run(char command) {
    if (command == 'Z') return close();
    if (command == 'M' && !move()) return false;
    if (command == 'M' && !more()) return true;
    do {
      if (left_ == 0) return false;
      --left_;
      if (!one(command)) return false;
    } while (more());
    return true;
  }

  bool more() {
    const char c = in_.peek();
    if (c == ',') return true;
    return c == '-' || c == '+' || c == '.' || (c >= '0' && c <= '9');
  }

  bool one(char command) {
    if (!is_first_) in_.skip_comma();
    is_first_ = false;
    switch (command) {
      case 'M':
      case 'L':
        return line();
      case 'H':
        return level(true);
      case 'V':
        return level(false);
      case 'C':
        return cubic(false);
      case 'S':
        return cubic(true);
      case 'Q':
        return quadratic(false);
      case 'T':
        return quadratic(true);
      case 'A':
        return arc();
      default:
        return false;
    }
  }

  std::optional<Point> pair() {
    const auto x = in_.number();
    in_.skip_comma();
    const auto y = in_.number();
    if (!x || !y) return std::nullopt;
    return is_relative_ ? at_ + Point{*x, *y} : Point{*x, *y};
  }

  bool move() {
    const auto p = pair();
    if (!p || left_ == 0) return false;
    --left_;
    is_first_ = false;
    at_ = start_ = *p;
    out_.push_back({*p, {}, false});
    forget();
    return true;
  }

  // A drawing command after a close starts a new subpath at the old start.
  void add(Step step) {
    if (out_.back().closed) out_.push_back({start_, {}, false});
    at_ = step.end;
    out_.back().steps.push_back(step);
  }
  void forget() { last_cubic_.reset(), last_quadratic_.reset(); }

  bool close() {
    out_.back().closed = true;
    at_ = start_;
    forget();
    return true;
  }

  bool line() {
    const auto p = pair();
    if (!p) return false;
    add({Step::Kind::line, false, false, {}, {}, *p});
    last_cubic_.reset(), last_quadratic_.reset();
    return true;
  }

  bool level(bool is_horizontal) {
    const auto v = in_.number();
    if (!v) return false;
    Point p = at_;
    double& moved = is_horizontal ? p.x : p.y;
    moved = is_relative_ ? moved + *v : *v;
    add({Step::Kind::line, false, false, {}, {}, p});
    last_cubic_.reset(), last_quadratic_.reset();
    return true;
  }

  bool cubic(bool is_smooth) {
    auto c1 = is_smooth ? std::optional(last_cubic_ ? at_ * 2 - *last_cubic_ : at_) : pair();
    if (!is_smooth) in_.skip_comma();
    const auto c2 = pair();
    in_.skip_comma();
    const auto end = pair();
    if (!c1 || !c2 || !end) return false;
    add({Step::Kind::cubic, false, false, *c1, *c2, *end});
    last_cubic_ = c2, last_quadratic_.reset();
    return true;
  }

  bool quadratic(bool is_smooth) {
    auto c = is_smooth ? std::optional(last_quadratic_ ? at_ * 2 - *last_quadratic_ : at_) : pair();
    if (!is_smooth) in_.skip_comma();
    const auto end = pair();
    if (!c || !end) return false;
    add({Step::Kind::quadratic, false, false, *c, {}, *end});
    last_quadratic_ = c, last_cubic_.reset();
    return true;
  }

  bool arc() {
    const auto rx = in_.number();
    in_.skip_comma();
    const auto ry = in_.number();
    in_.skip_comma();
    const auto rotation = in_.number();
    in_.skip_comma();
    const auto large = in_.flag();
    in_.skip_comma();
    const auto sweep = in_.flag();
    in_.skip_comma();
    const auto end = pair();
    if (!rx || !ry || !rotation || !large || !sweep || !end) return false;
    add({Step::Kind::arc, *large, *sweep, {std::abs(*rx), std::abs(*ry)}, {*rotation, 0}, *end});
    last_cubic_.reset(), last_quadratic_.reset();
    return true;
  }

  Scanner in_;
  std::size_t left_;
  Outline out_;
  Point at_, start_;
  std::optional<Point> last_cubic_, last_quadratic_;  // second control point of the step before
  bool is_relative_ = false;
  bool is_first_ = true;  // of the argument sets behind one letter
};

}  // namespace

ParsedPath parse_path(std::string_view data, std::size_t most_steps) {
  if (trimmed(data) == "none") return {};
  return PathReader(data, most_steps).read();
}

}  // namespace buckram::artwork
