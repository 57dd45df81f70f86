// Seeded shapes for property tests, the degenerate among them. The same seed gives the same shape
// on every machine.
#pragma once

#include "base/base.h"
#include "geometry/geometry.h"

#include <cmath>
#include <numbers>
#include <vector>

namespace buckram::test {

using geometry::Point;
using geometry::Ring;

// A star-shaped ring about `middle`: n corners at growing angles, radii from least to most.
inline Ring star_ring(base::Random& random, int n, Point middle, double least, double most) {
  Ring ring;
  for (int i = 0; i < n; ++i) {
    const double wobble = random.uniform(-0.4, 0.4);
    const double radius = random.uniform(least, most);
    const double angle = 2 * std::numbers::pi * (i + wobble) / n;
    ring.push_back(middle + Point{radius * std::cos(angle), radius * std::sin(angle)});
  }
  return ring;
}

// A star with a star-shaped hole inside; valid by construction: neighbours of n >= 5 corners are
// at most 1.8 * 2 pi / n apart, so a chord comes no closer to the middle than 0.21 of its ends.
inline geometry::Polygon holed_star(base::Random& random, int n, double size_mm) {
  geometry::Polygon polygon;
  const int n_corners = n < 5 ? 5 : n;
  polygon.outer = star_ring(random, n_corners, {}, size_mm * 0.6, size_mm);
  polygon.holes.push_back(
      geometry::reversed(star_ring(random, n_corners, {}, size_mm * 0.05, size_mm * 0.12)));
  return polygon;
}

// Any points in any order: the ring crosses itself all over.
inline Ring tangle(base::Random& random, int n, double size_mm) {
  Ring ring;
  for (int i = 0; i < n; ++i) {
    const double x = random.uniform(-size_mm, size_mm);
    const double y = random.uniform(-size_mm, size_mm);
    ring.push_back({x, y});
  }
  return ring;
}

// Corners on a coarse grid: edges overlap, corners repeat and lie on edges.
inline Ring grid_tangle(base::Random& random, int n, int cells) {
  Ring ring;
  for (int i = 0; i < n; ++i) {
    const int x = random.below(cells);
    const int y = random.below(cells);
    ring.push_back({static_cast<double>(x), static_cast<double>(y)});
  }
  return ring;
}

// A staircase blob on a grid with each corner moved by at most one step of `jitter_mm`: edges
// that are almost, but not quite, along the axes, as after a transform.
inline Ring near_axis_ring(base::Random& random, int n_columns, double cell_mm, double jitter_mm) {
  const auto moved = [&](double x, double y) {
    const double dx = (random.below(3) - 1) * jitter_mm;
    const double dy = (random.below(3) - 1) * jitter_mm;
    return Point{x + dx, y + dy};
  };
  std::vector<int> low, high;
  for (int i = 0; i < n_columns; ++i) {
    low.push_back(-1 - random.below(5));
    high.push_back(1 + random.below(5));
  }
  Ring ring;
  for (int i = 0; i < n_columns; ++i) {
    for (const int end : {i, i + 1})
      ring.push_back(moved(end * cell_mm, low[static_cast<std::size_t>(i)] * cell_mm));
  }
  for (int i = n_columns - 1; i >= 0; --i) {
    for (const int end : {i + 1, i})
      ring.push_back(moved(end * cell_mm, high[static_cast<std::size_t>(i)] * cell_mm));
  }
  return ring;
}

// A circle of n points, each moved in or out by up to `noise_mm`.
inline Ring noisy_circle(base::Random& random, int n, double radius_mm, double noise_mm) {
  Ring ring;
  for (int i = 0; i < n; ++i) {
    const double r = radius_mm + random.uniform(-noise_mm, noise_mm);
    const double angle = 2 * std::numbers::pi * i / n;
    ring.push_back({r * std::cos(angle), r * std::sin(angle)});
  }
  return ring;
}

inline Ring rectangle(double x0, double y0, double x1, double y1) {
  return {{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}};
}

}  // namespace buckram::test
