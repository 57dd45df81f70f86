#include "report/contours.h"

#include "base/base.h"

#include <algorithm>
#include <array>
#include <utility>

namespace buckram::report {
namespace {

constexpr double kThinning_mm = 0.02;

// Edges of the grid, numbered: horizontal edge (i, j)-(i+1, j) is 2 (j nx + i), vertical
// (i, j)-(i, j+1) is that plus one. Each crossed edge is left by exactly one segment and entered
// by exactly one, save on the border, so chains need no search by coordinates.
struct Crossings {
  const Field& field;
  double level;
  std::vector<int> next;  // by edge: the edge that the segment from here leads to, or -1
  std::vector<bool> is_entered;

  explicit Crossings(const Field& f, double l)
      : field(f),
        level(l),
        next(static_cast<std::size_t>(2 * f.nx * f.ny), -1),
        is_entered(next.size(), false) {}

  int across(int i, int j) const { return 2 * (j * field.nx + i); }
  int up(int i, int j) const { return across(i, j) + 1; }

  void link(int from, int to) {
    next[static_cast<std::size_t>(from)] = to;
    is_entered[static_cast<std::size_t>(to)] = true;
  }

  geometry::Point point(int edge) const {
    const int node = edge / 2, i = node % field.nx, j = node / field.nx;
    const bool is_up = edge % 2 == 1;
    const double a = field.at(i, j), b = is_up ? field.at(i, j + 1) : field.at(i + 1, j);
    const double t = std::clamp((level - a) / (b - a), 0.0, 1.0);
    return {field.x0 + (i + (is_up ? 0 : t)) * field.step_mm,
            field.y0 + (j + (is_up ? t : 0)) * field.step_mm};
  }
};

// Segments of one cell, walked so that the higher ground lies to the left.
void march(Crossings& c, int i, int j) {
  const Field& f = c.field;
  const std::array<double, 4> z{f.at(i, j), f.at(i + 1, j), f.at(i + 1, j + 1), f.at(i, j + 1)};
  unsigned above = 0;
  for (unsigned k = 0; k < 4; ++k)
    if (z[k] >= c.level) above |= 1u << k;
  if (above == 0 || above == 15) return;
  // Edge k lies between corners k and k + 1, counter-clockwise.
  const std::array<int, 4> edge{c.across(i, j), c.up(i + 1, j), c.across(i, j + 1), c.up(i, j)};
  const bool is_saddle = above == 5 || above == 10;
  if (is_saddle) {
    const bool is_joined = (z[0] + z[1] + z[2] + z[3]) / 4 >= c.level;
    const unsigned low = above == 5 ? 1 : 0;  // the low corners are low and low + 2
    for (const unsigned k : {0u, 2u}) {
      // Joined: cut off each low corner. Parted: cut off each high corner.
      const unsigned corner = is_joined ? low + k : (1 - low) + k;
      const int before = edge[(corner + 3) % 4], after = edge[corner % 4];
      if (is_joined)
        c.link(before, after);
      else
        c.link(after, before);
    }
    return;
  }
  // Walking counter-clockwise, the line leaves where low turns to high ... and enters where high
  // turns to low: from the edge "high to low" seen counter-clockwise to the edge "low to high".
  int from = 0, to = 0;
  for (unsigned k = 0; k < 4; ++k) {
    const bool a = above >> k & 1u, b = above >> ((k + 1) % 4) & 1u;
    if (a && !b) from = edge[k];
    if (!a && b) to = edge[k];
  }
  c.link(from, to);
}

std::vector<Contour> chains(Crossings& c) {
  std::vector<Contour> out;
  const auto walk = [&](int start, bool closed) {
    Contour line{c.level, {}, closed};
    int edge = start;
    while (edge >= 0) {
      line.points.push_back(c.point(edge));
      edge = std::exchange(c.next[static_cast<std::size_t>(edge)], -1);
      if (edge == start) break;
    }
    out.push_back(std::move(line));
  };
  for (std::size_t e = 0; e < c.next.size(); ++e)
    if (c.next[e] >= 0 && !c.is_entered[e]) walk(static_cast<int>(e), false);
  for (std::size_t e = 0; e < c.next.size(); ++e)
    if (c.next[e] >= 0) walk(static_cast<int>(e), true);
  return out;
}

std::vector<Contour> raw_contours(const Field& field, double level) {
  BUCKRAM_ASSERT(field.z.size() == static_cast<std::size_t>(field.nx * field.ny));
  Crossings crossings(field, level);
  for (int j = 0; j + 1 < field.ny; ++j)
    for (int i = 0; i + 1 < field.nx; ++i) march(crossings, i, j);
  return chains(crossings);
}

// The field with a rim of ground far below every level, one cell out, pinched to the border
// afterwards.
Field rimmed(const Field& f, double level) {
  Field out{f.x0 - f.step_mm, f.y0 - f.step_mm, f.step_mm, f.nx + 2, f.ny + 2, {}};
  out.z.assign(static_cast<std::size_t>(out.nx * out.ny), level - 1);
  for (int j = 0; j < f.ny; ++j)
    std::copy_n(f.z.begin() + j * f.nx, f.nx, out.z.begin() + (j + 1) * out.nx + 1);
  return out;
}

}  // namespace

std::vector<Contour> contours(const Field& field, double level) {
  std::vector<Contour> lines = raw_contours(field, level);
  for (Contour& line : lines) line.points = geometry::simplify(line.points, kThinning_mm);
  std::erase_if(lines, [](const Contour& line) { return line.points.size() < 2; });
  return lines;
}

std::vector<geometry::Ring> ground_above(const Field& field, double level) {
  const double x1 = field.x0 + (field.nx - 1) * field.step_mm;
  const double y1 = field.y0 + (field.ny - 1) * field.step_mm;
  std::vector<geometry::Ring> rings;
  for (Contour& line : raw_contours(rimmed(field, level), level)) {
    for (geometry::Point& p : line.points) {
      p.x = std::clamp(p.x, field.x0, x1);
      p.y = std::clamp(p.y, field.y0, y1);
    }
    geometry::Ring ring = geometry::simplify(line.points, kThinning_mm);
    if (ring.size() >= 3) rings.push_back(std::move(ring));
  }
  return rings;
}

}  // namespace buckram::report
