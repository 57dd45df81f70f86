// SVG path data for tests below artwork/: a small reader of its own, so that geometry is tried on
// real outlines without the folder above it. Knows all commands of SVG 1.1, 8.3; on a syntax error
// it keeps what came before, as the standard asks.
#pragma once

#include "geometry/geometry.h"

#include <cctype>
#include <charconv>
#include <numbers>
#include <string>
#include <string_view>
#include <vector>

namespace buckram::test {

struct Subpath {
  geometry::Polyline points;
  bool closed = false;
};

class PathData {
 public:
  PathData(std::string_view text, double tolerance) : rest_(text), tolerance_(tolerance) {}

  std::vector<Subpath> read() {
    while (next_command()) {
      if (!step()) break;
    }
    return std::move(out_);
  }

 private:
  using Point = geometry::Point;

  void skip_space() {
    while (!rest_.empty() &&
           (std::isspace(static_cast<unsigned char>(rest_[0])) || rest_[0] == ',')) {
      rest_.remove_prefix(1);
    }
  }
  bool next_command() {
    skip_space();
    if (rest_.empty()) return false;
    if (std::isalpha(static_cast<unsigned char>(rest_[0]))) {
      command_ = rest_[0];
      rest_.remove_prefix(1);
    } else if (command_ == 'M' || command_ == 'm') {
      command_ = command_ == 'M' ? 'L' : 'l';
    } else if (command_ == 'Z' || command_ == 'z' || command_ == 0) {
      return false;
    }
    return true;
  }
  bool number(double& value) {
    skip_space();
    if (!rest_.empty() && rest_[0] == '+') rest_.remove_prefix(1);
    const auto [end, error] = std::from_chars(rest_.data(), rest_.data() + rest_.size(), value);
    if (error != std::errc()) return false;
    rest_.remove_prefix(static_cast<std::size_t>(end - rest_.data()));
    return true;
  }
  bool flag(bool& value) {
    skip_space();
    if (rest_.empty() || (rest_[0] != '0' && rest_[0] != '1')) return false;
    value = rest_[0] == '1';
    rest_.remove_prefix(1);
    return true;
  }
  bool is_relative() const { return std::islower(static_cast<unsigned char>(command_)) != 0; }
  bool point(Point& p) {
    if (!number(p.x) || !number(p.y)) return false;
    if (is_relative()) p = p + at_;
    return true;
  }
  geometry::Polyline& line() {
    if (out_.empty() || out_.back().closed) out_.push_back({{at_}, false});
    return out_.back().points;
  }
  void arrive(Point p, Point control) { at_ = p, control_ = control; }

  bool step() {
    const char upper = static_cast<char>(std::toupper(static_cast<unsigned char>(command_)));
    const char before = last_;
    last_ = upper;
    Point a, b, p = at_;
    switch (upper) {
      case 'M':
        if (!point(p)) return false;
        out_.push_back({{p}, false});
        start_ = p;
        break;
      case 'Z':
        if (!out_.empty()) out_.back().closed = true;
        p = start_;
        break;
      case 'L':
        if (!point(p)) return false;
        line().push_back(p);
        break;
      case 'H':
      case 'V': {
        double& axis = upper == 'H' ? p.x : p.y;
        double value = 0;
        if (!number(value)) return false;
        axis = is_relative() ? axis + value : value;
        line().push_back(p);
        break;
      }
      case 'C':
      case 'S':
        a = before == 'C' || before == 'S' ? at_ * 2 - control_ : at_;
        if (upper == 'C' && !point(a)) return false;
        if (!point(b) || !point(p)) return false;
        geometry::flatten_cubic(at_, a, b, p, tolerance_, line());
        arrive(p, b);
        return true;
      case 'Q':
      case 'T':
        a = before == 'Q' || before == 'T' ? at_ * 2 - control_ : at_;
        if (upper == 'Q' && !point(a)) return false;
        if (!point(p)) return false;
        geometry::flatten_quadratic(at_, a, p, tolerance_, line());
        arrive(p, a);
        return true;
      case 'A': {
        geometry::SvgArc arc{};
        double degrees = 0;
        if (!number(arc.rx) || !number(arc.ry) || !number(degrees) || !flag(arc.large) ||
            !flag(arc.sweep) || !point(p)) {
          return false;
        }
        arc.rotation_rad = degrees * std::numbers::pi / 180;
        arc.end = p;
        geometry::flatten_arc(at_, arc, tolerance_, line());
        break;
      }
      default:
        return false;
    }
    arrive(p, p);
    return true;
  }

  std::string_view rest_;
  double tolerance_;
  char command_ = 0, last_ = 0;
  geometry::Point at_, start_, control_;
  std::vector<Subpath> out_;
};

inline std::vector<Subpath> path_data(std::string_view text, double tolerance) {
  return PathData(text, tolerance).read();
}

// The values of all d="..." attributes in an SVG file's text.
inline std::vector<std::string_view> path_attributes(std::string_view svg) {
  std::vector<std::string_view> out;
  for (std::size_t at = svg.find(" d=\""); at != std::string_view::npos;
       at = svg.find(" d=\"", at)) {
    at += 4;
    const std::size_t end = svg.find('"', at);
    if (end == std::string_view::npos) break;
    out.push_back(svg.substr(at, end - at));
  }
  return out;
}

// The shapes of a file's paths, each filled by the rule, scaled so that `view` user units (the
// height of the view box) become `height_mm`, y up.
inline std::vector<geometry::Polygons> filled_paths(std::string_view svg, double view,
                                                    double height_mm, double tolerance_mm) {
  const double k = height_mm / view;
  std::vector<geometry::Polygons> out;
  for (const std::string_view d : path_attributes(svg)) {
    std::vector<geometry::Ring> rings;
    for (Subpath& sub : path_data(d, tolerance_mm / k)) {
      for (geometry::Point& p : sub.points) p = {p.x * k, -p.y * k};
      rings.push_back(std::move(sub.points));
    }
    out.push_back(geometry::unite(rings, geometry::FillRule::nonzero));
  }
  return out;
}

}  // namespace buckram::test
