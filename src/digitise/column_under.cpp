#include "digitise/column_under.h"

#include "digitise/run.h"

#include <algorithm>

namespace buckram::digitise {
namespace {

using geometry::Point;
using geometry::Polyline;

// The line through all rungs at the share t from left to right, kept `inset_mm` off both rails
// (no further than to the middle).
Polyline lengthwise(const std::vector<Rung>& rungs, double t, double inset_mm) {
  Polyline line;
  for (const auto& rung : rungs) {
    const double width = geometry::distance(rung.left, rung.right);
    const double least = width > 0 ? std::min(0.5, inset_mm / width) : 0.5;
    line.push_back(geometry::mix(rung.left, rung.right, std::clamp(t, least, 1 - least)));
  }
  return line;
}

// The part of the line from `inset_mm` after its start to as much before its end.
Polyline shortened(const Polyline& line, double inset_mm) {
  const geometry::ArcLength arc(line);
  if (arc.length() <= 2 * inset_mm) return {};
  Polyline out;
  const double step = 0.1;
  const int n = std::max(1, static_cast<int>((arc.length() - 2 * inset_mm) / step));
  for (int i = 0; i <= n; ++i)
    out.push_back(arc.at(inset_mm + (arc.length() - 2 * inset_mm) * i / n));
  return out;
}

bool is_clear(const Polyline& holes, Point p) {
  constexpr double kClearMm = 0.26;  // nearer holes cut the cloth
  return std::none_of(holes.begin(), holes.end(),
                      [&](Point hole) { return geometry::distance(hole, p) < kClearMm; });
}

// Hole i of the line, moved along it a little where an earlier one is too near; as it is where
// that does not help.
Point beside_earlier(const Polyline& earlier, const Polyline& line, std::size_t i) {
  for (const double shift : {0.0, 0.3, -0.3, 0.5, -0.5}) {
    const std::size_t towards = shift < 0 ? i - 1 : i + 1;
    if (shift != 0 && towards >= line.size()) continue;
    const Point p =
        shift == 0 ? line[i] : line[i] + geometry::unit(line[towards] - line[i]) * std::abs(shift);
    if (is_clear(earlier, p)) return p;
  }
  return line[i];
}

// The line's holes after those of `out`, clear of them where it can be. O(holes of both, squared).
void append(Polyline& out, const Polyline& more, double least_mm) {
  const Polyline earlier = out;
  for (std::size_t i = 0; i < more.size(); ++i) {
    const Point p = beside_earlier(earlier, more, i);
    if (out.empty() || geometry::distance(out.back(), p) >= least_mm) out.push_back(p);
  }
}

Polyline stitched(const Polyline& line, const Recipe& recipe) {
  return run_points(line, recipe.run_mm, recipe.shortest_mm);
}

// Back along the middle, between the holes of the way out.
Polyline back_between(const Polyline& out) {
  Polyline back;
  for (std::size_t i = out.size() - 1; i > 0; --i)
    back.push_back(geometry::mix(out[i], out[i - 1], 0.5));
  return back;
}

Polyline zigzag(const std::vector<Rung>& rungs, const Recipe& recipe) {
  Polyline out;
  const Polyline left = shortened(lengthwise(rungs, 0, recipe.under_inset_mm), 0.6);
  const Polyline right = shortened(lengthwise(rungs, 1, recipe.under_inset_mm), 0.6);
  if (left.size() < 2 || right.size() < 2) return out;
  const double length = (geometry::length(left) + geometry::length(right)) / 2;
  const int n = std::max(2, static_cast<int>(length / 1.6) + 1);
  const Polyline ls = geometry::resample_n(left, n), rs = geometry::resample_n(right, n);
  for (int i = 0; i < n; ++i) out.push_back(i % 2 == 0 ? ls[i] : rs[i]);
  return out;
}

// No stitch longer than the recipe's longest.
Polyline within_longest(const Polyline& points, double longest_mm) {
  Polyline out;
  for (const Point& p : points) {
    if (!out.empty()) {
      const Point from = out.back();
      const int n = static_cast<int>(std::ceil(geometry::distance(from, p) / (0.95 * longest_mm)));
      for (int k = 1; k < n; ++k) out.push_back(geometry::mix(from, p, static_cast<double>(k) / n));
    }
    out.push_back(p);
  }
  return out;
}

}  // namespace

UnderKind under_kind(double width_mm, Style style) {
  const double lighter = style == Style::cap ? 1.0 : 0.0;
  if (width_mm < 0.9 + 0.3 * lighter) return UnderKind::none;
  if (width_mm < 1.8 + lighter) return UnderKind::centre;
  if (width_mm < 4.0 + lighter) return UnderKind::edge;
  return UnderKind::zigzag;
}

Polyline through_points(const std::vector<Rung>& rungs, UnderKind kind, const Recipe& recipe) {
  constexpr double kEndsMm = 0.5;
  Polyline points;
  const Polyline middle = shortened(lengthwise(rungs, 0.5, recipe.under_inset_mm), kEndsMm);
  if (middle.size() < 2) return points;
  if (kind == UnderKind::edge || kind == UnderKind::zigzag) {
    const Polyline left = shortened(lengthwise(rungs, 0, recipe.under_inset_mm), kEndsMm);
    Polyline right = shortened(lengthwise(rungs, 1, recipe.under_inset_mm), kEndsMm);
    if (left.size() < 2 || right.size() < 2) return points;
    append(points, stitched(left, recipe), recipe.shortest_mm);
    std::reverse(right.begin(), right.end());
    append(points, stitched(right, recipe), recipe.shortest_mm);
  }
  append(points, kind == UnderKind::zigzag ? zigzag(rungs, recipe) : stitched(middle, recipe),
         recipe.shortest_mm);
  return within_longest(points, recipe.longest_mm);
}

Polyline under_points(const std::vector<Rung>& rungs, bool closed, UnderKind kind,
                      const Recipe& recipe) {
  Polyline points;
  if (kind == UnderKind::none || rungs.size() < 8) return points;
  const double ends = closed ? 0.1 : 0.5;
  const Polyline middle = shortened(lengthwise(rungs, 0.5, recipe.under_inset_mm), ends);
  if (middle.size() < 2 || geometry::length(middle) < 2) return points;
  if (kind == UnderKind::centre) {
    const Polyline out = stitched(middle, recipe);
    append(points, out, recipe.shortest_mm);
    if (!closed) append(points, back_between(out), recipe.shortest_mm);
    return points;
  }
  const Polyline left = shortened(lengthwise(rungs, 0, recipe.under_inset_mm), ends);
  Polyline right = shortened(lengthwise(rungs, 1, recipe.under_inset_mm), ends);
  if (left.size() < 2 || right.size() < 2) return points;
  append(points, stitched(left, recipe), recipe.shortest_mm);
  if (!closed) std::reverse(right.begin(), right.end());
  append(points, stitched(right, recipe), recipe.shortest_mm);
  if (kind == UnderKind::zigzag) {
    append(points, zigzag(rungs, recipe), recipe.shortest_mm);
    if (!closed) {
      Polyline home = middle;
      std::reverse(home.begin(), home.end());
      append(points, stitched(home, recipe), recipe.shortest_mm);
    }
  }
  return within_longest(points, recipe.longest_mm);
}

}  // namespace buckram::digitise
