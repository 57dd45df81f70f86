// Letters drawn with one line a stroke, thickened: strips whose middle lines are known.
//
// The lines are those of A. V. Hershey, "Calligraphy for computers" (1967), in the JHF files of
// Debian's hershey-fonts-data. A JHF glyph: number (5 columns), count of pairs (3 columns), then
// pairs of letters less 'R', the first pair the left and right bearing, " R" lifts the pen, y down.
#pragma once

#include "digitise/spine.h"
#include "digitise/split.h"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <fstream>
#include <string>
#include <vector>

namespace buckram::digitise::hershey {

struct Letter {
  char sign = ' ';
  std::vector<geometry::Polyline> strokes;  // mm, y up
};

// The printable signs of one file in their order from the blank; capitals of the Roman files are 21
// units high. Empty when the file is not there.
inline std::vector<Letter> letters(const std::string& face, double cap_height_mm) {
  std::ifstream file("/usr/share/hershey-fonts/" + face + ".jhf");
  std::vector<Letter> all;
  char sign = ' ';
  for (std::string text, more; std::getline(file, text);) {
    if (text.size() < 8) continue;
    const auto wanted = 8 + 2 * static_cast<std::size_t>(std::stoi(text.substr(5, 3)));
    while (text.size() < wanted && std::getline(file, more)) text += more;
    Letter letter{sign++, {{}}};
    for (std::size_t i = 10; i + 1 < wanted; i += 2) {
      if (text[i] == ' ') {
        letter.strokes.emplace_back();
      } else {
        const double mm = cap_height_mm / 21;
        letter.strokes.back().push_back({(text[i] - 'R') * mm, ('R' - text[i + 1]) * mm});
      }
    }
    std::erase_if(letter.strokes, [](const auto& line) { return line.size() < 2; });
    if (!letter.strokes.empty()) all.push_back(std::move(letter));
  }
  return all;
}

inline double distance_to(const std::vector<geometry::Polyline>& lines, geometry::Point p) {
  double best = INFINITY;
  for (const auto& line : lines) {
    for (std::size_t i = 1; i < line.size(); ++i) {
      const geometry::Point a = line[i - 1], d = line[i] - a;
      const double dd = geometry::dot(d, d);
      const double t = dd > 0 ? std::clamp(geometry::dot(p - a, d) / dd, 0.0, 1.0) : 0;
      best = std::min(best, geometry::distance(a + d * t, p));
    }
  }
  return best;
}

// Square at free ends, round where strokes meet.
inline geometry::Polygons thickened(const Letter& letter, double width_mm) {
  std::vector<geometry::Polygons> parts;
  for (std::size_t k = 0; k < letter.strokes.size(); ++k) {
    const auto& line = letter.strokes[k];
    const bool closed = line.size() > 2 && line.front() == line.back();
    parts.push_back(geometry::stroke_outline(line, width_mm, closed, geometry::Join::round,
                                             geometry::Cap::butt));
    auto others = letter.strokes;
    others.erase(others.begin() + static_cast<std::ptrdiff_t>(k));
    for (const geometry::Point end : {line.front(), line.back()}) {
      if (distance_to(others, end) < width_mm / 2)
        parts.push_back(geometry::stroke_outline({end, end}, width_mm, false, geometry::Join::round,
                                                 geometry::Cap::round));
    }
  }
  return geometry::unite(parts);
}

// The middle lines of the cells that a shape is cut into, as columns would be sewn along them.
inline std::vector<geometry::Polyline> spines(const geometry::Polygons& shape,
                                              const Recipe& recipe) {
  std::vector<geometry::Polyline> all;
  for (const auto& polygon : shape) {
    for (const Cell& cell : split(polygon, recipe)) {
      auto axis = strip_axis(cell.area);
      if (!axis.spine) axis.spine = straight_spine(cell.area);
      if (!axis.spine) continue;
      if (axis.spine->closed) axis.spine->line.push_back(axis.spine->line.front());
      all.push_back(std::move(axis.spine->line));
    }
  }
  return all;
}

// Distances to `lines` from places every 0.05 mm of `from`.
inline std::vector<double> distances(const std::vector<geometry::Polyline>& from,
                                     const std::vector<geometry::Polyline>& lines) {
  std::vector<double> all;
  for (const auto& line : from) {
    const geometry::ArcLength arc(line);
    const int n = std::max(1, static_cast<int>(std::lround(arc.length() / 0.05)));
    for (int i = 0; i < n; ++i)
      all.push_back(distance_to(lines, arc.at(arc.length() * (i + 0.5) / n)));
  }
  return all;
}

inline double quantile(std::vector<double> values, double q) {
  if (values.empty()) return INFINITY;
  std::sort(values.begin(), values.end());
  return values[static_cast<std::size_t>(q * static_cast<double>(values.size() - 1) + 0.5)];
}

// The lines of a letter gone on by half a stroke at their ends and sharp corners: there a stroke
// that runs through has its middle line up to the outer edge.
inline std::vector<geometry::Polyline> gone_on(const Letter& letter, double width_mm) {
  constexpr double kSharp = 0.5;  // cosine of 60 degrees
  std::vector<geometry::Polyline> lines = letter.strokes;
  const auto go_on = [&](geometry::Point from, geometry::Point to) {
    lines.push_back({to, to + geometry::unit(to - from) * (width_mm / 2)});
  };
  for (const auto& line : letter.strokes) {
    go_on(line[1], line[0]);
    go_on(line[line.size() - 2], line.back());
    for (std::size_t i = 1; i + 1 < line.size(); ++i) {
      const geometry::Point in = geometry::unit(line[i] - line[i - 1]);
      const geometry::Point out = geometry::unit(line[i + 1] - line[i]);
      if (geometry::dot(in, out) > kSharp) continue;
      go_on(line[i - 1], line[i]);
      go_on(line[i + 1], line[i]);
    }
  }
  return lines;
}

// Letters and digits without their dots, which are no strokes once they are thickened.
inline std::vector<Letter> strokes_of(const std::string& face, double cap_height_mm,
                                      double width_mm) {
  std::vector<Letter> all = letters(face, cap_height_mm);
  std::erase_if(all, [](const Letter& letter) {
    return std::isalnum(static_cast<unsigned char>(letter.sign)) == 0;
  });
  for (Letter& letter : all) {
    std::erase_if(letter.strokes, [&](const auto& line) {
      const geometry::Box box = geometry::bounds(line);
      return std::max(box.width(), box.height()) < 1.5 * width_mm && line.front() == line.back();
    });
  }
  return all;
}

// How near the spines of all letters of a face come to the lines they were drawn with.
struct Truth {
  int n_letters = 0;
  double p50 = 0, p95 = 0;  // from spine to line, in stroke widths
  double kept = 0;          // share of the lines' length with a spine within a quarter of the width
  double length = 0;        // of the spines over that of the lines
};

inline Truth truth(const std::string& face, double cap_height_mm, double width_mm,
                   const Recipe& recipe) {
  Truth out;
  std::vector<double> off, missed;
  for (const Letter& letter : strokes_of(face, cap_height_mm, width_mm)) {
    const auto found = spines(thickened(letter, width_mm), recipe);
    const auto here = distances(found, gone_on(letter, width_mm));
    const auto back = distances(letter.strokes, found);
    off.insert(off.end(), here.begin(), here.end());
    missed.insert(missed.end(), back.begin(), back.end());
    ++out.n_letters;
  }
  const auto near = [&](double d) { return d < width_mm / 4; };
  out.p50 = quantile(off, 0.5) / width_mm;
  out.p95 = quantile(off, 0.95) / width_mm;
  out.kept = static_cast<double>(std::count_if(missed.begin(), missed.end(), near)) /
             static_cast<double>(missed.size());
  out.length = static_cast<double>(off.size()) / static_cast<double>(missed.size());
  return out;
}

}  // namespace buckram::digitise::hershey
