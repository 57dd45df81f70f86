// Shapes for tests of fills, of our own making: plain ones, ones with arms and holes, seeded blobs.
#pragma once

#include "base/base.h"
#include "geometry/geometry.h"

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

namespace buckram::digitise::shapes {

struct Shape {
  std::string name;
  geometry::Polygons area;
};

inline geometry::Ring rect(double x0, double y0, double x1, double y1) {
  return {{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}};
}

inline geometry::Ring disc(geometry::Point middle, double radius, int n = 120) {
  geometry::Ring ring;
  for (int i = 0; i < n; ++i) {
    const double a = 2 * base::kPi * i / n;
    ring.push_back(middle + geometry::Point{std::cos(a), std::sin(a)} * radius);
  }
  return ring;
}

inline geometry::Polygons joined(const std::vector<geometry::Ring>& rings) {
  return geometry::unite(rings, geometry::FillRule::nonzero);
}

inline geometry::Polygons ring() {
  return geometry::subtract(joined({disc({0, 0}, 16)}), joined({disc({0, 0}, 8)}));
}

inline geometry::Polygons comb() {
  std::vector<geometry::Ring> rings{rect(0, 0, 60, 6)};
  for (int i = 0; i < 8; ++i) rings.push_back(rect(i * 7.5, 5, i * 7.5 + 5, 25));
  return joined(rings);
}

inline geometry::Polygons letter_e() {
  return joined({rect(0, 0, 7, 40), rect(0, 0, 25, 8), rect(0, 16, 22, 24), rect(0, 32, 25, 40)});
}

inline geometry::Polygons spiral() {
  geometry::Polyline line;
  for (double t = 0; t < 6 * base::kPi; t += 0.05)
    line.push_back(geometry::Point{std::cos(t), std::sin(t)} * (4 + 1.6 * t));
  return geometry::stroke_outline(line, 6.5, false, geometry::Join::round, geometry::Cap::round);
}

inline geometry::Ring blob_ring(base::Random& random, double radius, double wobble) {
  double size[6], phase[6];
  for (int k = 0; k < 6; ++k) {
    size[k] = random.uniform(-1, 1) * wobble / (k + 1);
    phase[k] = random.uniform(0, 2 * base::kPi);
  }
  geometry::Ring ring;
  for (int i = 0; i < 240; ++i) {
    const double a = 2 * base::kPi * i / 240;
    double r = 1;
    for (int k = 0; k < 6; ++k) r += size[k] * std::cos((k + 2) * a + phase[k]);
    ring.push_back(geometry::Point{std::cos(a), std::sin(a)} * (radius * std::max(r, 0.2)));
  }
  return ring;
}

inline geometry::Polygons largest(const geometry::Polygons& polygons) {
  const auto it = std::max_element(
      polygons.begin(), polygons.end(),
      [](const auto& a, const auto& b) { return geometry::area(a) < geometry::area(b); });
  return it == polygons.end() ? geometry::Polygons{} : geometry::Polygons{*it};
}

inline geometry::Polygons blob(std::uint64_t seed, double radius, int n_holes) {
  base::Random random(seed);
  geometry::Polygons area = joined({blob_ring(random, radius, 0.3)});
  std::vector<geometry::Ring> holes;
  for (int i = 0; i < n_holes; ++i) {
    const double x = random.uniform(-0.7, 0.7) * radius;
    const double y = random.uniform(-0.7, 0.7) * radius;
    holes.push_back(disc({x, y}, random.uniform(0.03, 0.12) * radius, 40));
  }
  return largest(holes.empty() ? area : geometry::subtract(area, joined(holes)));
}

inline std::vector<Shape> all() {
  std::vector<Shape> list{{"rectangle", joined({rect(0, 0, 40, 25)})},
                          {"disc", joined({disc({0, 0}, 15)})},
                          {"ring", ring()},
                          {"comb", comb()},
                          {"letter E", letter_e()},
                          {"spiral", spiral()},
                          {"triangle", joined({{{0, 0}, {30, 0}, {10, 14}}})}};
  for (std::uint64_t seed = 1; seed <= 6; ++seed)
    list.push_back({"blob " + std::to_string(seed), blob(seed, 8.0 + 3 * double(seed), 0)});
  for (std::uint64_t seed = 11; seed <= 16; ++seed)
    list.push_back({"holed blob " + std::to_string(seed), blob(seed, 25, 12)});
  list.push_back({"fifty holes", blob(21, 40, 50)});
  return list;
}

}  // namespace buckram::digitise::shapes
