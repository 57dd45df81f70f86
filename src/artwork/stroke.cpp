#include "artwork/stroke.h"

#include "base/base.h"

#include <algorithm>
#include <cmath>

namespace buckram::artwork {
namespace {

using geometry::Point;
using geometry::Polyline;

struct Chain {
  Polyline line;
  bool closed = false;
};

// Cuts a chain into its dashes (SVG 1.1, 11.4). The pattern starts anew on every subpath.
std::vector<Chain> dashed(const Chain& chain, const std::vector<double>& dashes,
                          double dash_offset) {
  Polyline line = chain.line;
  if (chain.closed) line.push_back(line.front());
  double period = 0;
  for (const double d : dashes) period += d;
  double into = std::fmod(dash_offset, period);
  if (into < 0) into += period;
  std::size_t k = 0;
  while (into > dashes[k] || (into == dashes[k] && into > 0))
    into -= dashes[k], k = (k + 1) % dashes.size();
  double left = dashes[k] - into;
  const double nearly = 1e-9 * period;  // a dash that begins where the line ends is drawn, as a dot
  std::vector<Chain> pieces;
  bool is_on = k % 2 == 0;
  if (is_on) pieces.push_back({{line.front()}, false});
  for (std::size_t i = 1; i < line.size(); ++i) {
    Point from = line[i - 1];
    double rest = distance(from, line[i]);
    while (rest >= left - nearly) {
      from = rest > left ? mix(from, line[i], left / rest) : line[i];
      rest = std::max(0.0, rest - left);
      if (is_on) pieces.back().line.push_back(from);
      k = (k + 1) % dashes.size();
      left = dashes[k];
      is_on = !is_on;
      if (is_on) pieces.push_back({{from}, false});
    }
    left -= rest;
    if (is_on) pieces.back().line.push_back(line[i]);
  }
  return pieces;
}

// A stroke without length: a dot or a square with the right caps, else nothing (SVG 1.1, 11.4).
geometry::Polygons dot(Point at, const StrokeLook& look, double width, double tolerance) {
  const double r = width / 2;
  if (look.cap == geometry::Cap::square)
    return {
        {{{at.x - r, at.y - r}, {at.x + r, at.y - r}, {at.x + r, at.y + r}, {at.x - r, at.y + r}},
         {}}};
  if (look.cap != geometry::Cap::round) return {};
  Polyline ring = {{at.x + r, at.y}};
  geometry::flatten_arc(ring.front(), {r, r, 0, false, true, {at.x - r, at.y}}, tolerance, ring);
  geometry::flatten_arc(ring.back(), {r, r, 0, false, true, {at.x + r, at.y}}, tolerance, ring);
  ring.pop_back();
  return geometry::unite({ring}, geometry::FillRule::nonzero);
}

void drop_repeats(Chain& chain) {
  Polyline& line = chain.line;
  line.erase(std::unique(line.begin(), line.end()), line.end());
  while (chain.closed && line.size() > 1 && line.front() == line.back()) line.pop_back();
}

// Dashes so fine that they would not be told apart are painted as a solid line.
bool is_dash_drawable(const StrokeLook& look, const std::vector<Chain>& chains) {
  constexpr double kMostDashes = 20'000;
  double period = 0, total = 0;
  for (const double d : look.dashes) period += d;
  for (const Chain& chain : chains) total += geometry::length(chain.line);
  return total / period * static_cast<double>(look.dashes.size()) < kMostDashes;
}

}  // namespace

Stretch stretch_of(const geometry::Affine& m) {
  const double sum = m.a * m.a + m.b * m.b + m.c * m.c + m.d * m.d;
  const double det = m.determinant();
  const double root = std::sqrt(std::max(0.0, sum * sum - 4 * det * det));
  return {std::sqrt((sum + root) / 2), std::sqrt(std::max(0.0, (sum - root) / 2))};
}

StrokePaint stroke_area(const Outline& outline, const StrokeLook& look, const geometry::Affine& map,
                        double tolerance, WorkLimit& work, const std::string& source) {
  StrokePaint paint;
  const Stretch stretch = stretch_of(map);
  if (!(stretch.least > 0)) return paint;
  // The outline is worked out before the map, which may be uneven, but at the target's size; the
  // factor is a power of two and changes no digit.
  const double k = std::exp2(std::ceil(std::log2(stretch.most)));
  const double fine = tolerance * k / stretch.most;
  const geometry::Affine to_target = geometry::compose(map, {1 / k, 0, 0, 1 / k, 0, 0});
  std::vector<Chain> chains;
  for (const Subpath& subpath : outline) {
    if (subpath.steps.empty() && !subpath.closed) continue;  // a bare move draws nothing
    // Chords are shorter than their arcs, and along a dashed line that adds up.
    const double chord = look.dashes.empty() ? fine : fine / 16;
    Chain chain{flattened(subpath, chord / k), subpath.closed};
    for (Point& p : chain.line) p = p * k;
    drop_repeats(chain);
    chains.push_back(std::move(chain));
  }
  const double width = look.width * k;
  if (stretch.most < 1.05 * stretch.least) paint.width = look.width * geometry::mean_scale(map);
  StrokeLook scaled = look;
  for (double& d : scaled.dashes) d *= k;
  const bool is_dashed = !look.dashes.empty() && is_dash_drawable(scaled, chains);
  std::vector<geometry::Polygons> parts;
  for (const Chain& chain : chains) {
    const auto pieces =
        is_dashed ? dashed(chain, scaled.dashes, look.dash_offset * k) : std::vector<Chain>{chain};
    for (Chain piece : pieces) {
      drop_repeats(piece);
      if (piece.line.size() < 2) {
        parts.push_back(dot(piece.line.front(), look, width, fine));
        continue;
      }
      work.spend({piece.line, piece.line}, source);
      parts.push_back(geometry::stroke_outline(piece.line, width, piece.closed, look.join, look.cap,
                                               look.miter_limit, fine));
    }
    if (!is_dashed && chain.line.size() > 1) {
      paint.lines.push_back(geometry::transformed(chain.line, to_target));
      paint.is_closed.push_back(chain.closed);
    }
  }
  std::vector<geometry::Ring> rings;
  for (const geometry::Polygons& part : parts)
    for (const geometry::Polygon& polygon : part) {
      rings.push_back(polygon.outer);
      rings.insert(rings.end(), polygon.holes.begin(), polygon.holes.end());
    }
  work.spend(rings, source);
  if (parts.empty()) return paint;
  const geometry::Polygons all = parts.size() == 1 ? parts.front() : geometry::unite(parts);
  paint.area = geometry::transformed(all, to_target);
  return paint;
}

}  // namespace buckram::artwork
