// Shapes for columns, and what their thread covers.
#pragma once

#include "digitise/digitise.h"

#include <cmath>
#include <fstream>
#include <map>
#include <sstream>
#include <string>

namespace buckram::digitise::strips {

inline geometry::Polygon rectangle(double width, double height) {
  return {{{0, 0}, {width, 0}, {width, height}, {0, height}}, {}};
}

inline geometry::Ring circle(double radius, int n, bool clockwise = false) {
  geometry::Ring ring;
  for (int i = 0; i < n; ++i) {
    const double a = (clockwise ? -2 : 2) * base::kPi * i / n;
    ring.push_back({radius * std::cos(a), radius * std::sin(a)});
  }
  return ring;
}

inline geometry::Polygon ring(double outer, double inner) {
  return {circle(outer, 180), {circle(inner, 180, true)}};
}

inline geometry::Polygon star(int points, double outer, double inner) {
  geometry::Polygon polygon;
  for (int i = 0; i < 2 * points; ++i) {
    const double a = base::kPi * i / points, r = i % 2 == 0 ? outer : inner;
    polygon.outer.push_back({r * std::cos(a), r * std::sin(a)});
  }
  return polygon;
}

// Letters of tests/digitise/glyphs.txt at the given cap height.
inline std::map<char, geometry::Polygons> glyphs(double cap_height_mm) {
  std::ifstream file(BUCKRAM_ROOT "/tests/digitise/glyphs.txt");
  std::map<char, geometry::Polygons> all;
  std::string line;
  while (std::getline(file, line)) {
    if (line.empty() || line[0] == '#') continue;
    std::istringstream head(line);
    char sign = 0;
    int n_rings = 0;
    head >> sign >> n_rings;
    std::vector<geometry::Ring> rings;
    for (int r = 0; r < n_rings && std::getline(file, line); ++r) {
      std::istringstream numbers(line);
      int n = 0;
      numbers >> n;
      geometry::Ring ring(static_cast<std::size_t>(n));
      for (auto& p : ring) {
        numbers >> p.x >> p.y;
        p = p * (cap_height_mm / 729);  // DejaVu's capitals are 729 units high
      }
      rings.push_back(std::move(ring));
    }
    all[sign] = geometry::unite(rings, geometry::FillRule::nonzero);
  }
  return all;
}

inline Recipe bare_recipe() {
  Recipe recipe = recipe_for(Style::cap);
  recipe.compensation_mm = 0;  // so that the shape itself is the target
  return recipe;
}

// One region of the shape, made into objects.
inline Digitised digitised(const geometry::Polygons& shape, const Recipe& recipe) {
  artwork::Regions regions;
  regions.threads.resize(1);
  artwork::Region region;
  region.visible = region.sewn = shape;
  region.source = "shape";
  regions.regions.push_back(region);
  return make_objects(regions, recipe);
}

struct Cover {
  double missed = 0, spilled = 0;  // per cent of the shape's area; spilled by more than 0.2 mm
};

// By the union of the top layers' capsules.
inline Cover cover(const geometry::Polygons& shape, const Digitised& made, const Recipe& recipe) {
  std::vector<geometry::Polygons> lines;
  for (const Object& object : made.objects) {
    for (const Piece& piece : sew(object, object.ways.front(), recipe, {true, true})) {
      if (piece.layer != stitch::Layer::top) continue;
      lines.push_back(geometry::stroke_outline(piece.points, recipe.thread_mm, false,
                                               geometry::Join::round, geometry::Cap::round));
    }
  }
  const geometry::Polygons thread = geometry::unite(lines);
  const double all = geometry::area(shape) / 100;
  return {geometry::area(geometry::subtract(shape, thread)) / all,
          geometry::area(geometry::subtract(thread, geometry::offset(shape, 0.2))) / all};
}

}  // namespace buckram::digitise::strips
