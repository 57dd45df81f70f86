// Areas as pixels: exact-enough coverage on a grid that may be turned.
#pragma once

#include "geometry/polygon.h"

#include <cstdint>
#include <vector>

namespace buckram::geometry {

// A grid of square cells. Cell (i, j) has its middle at origin + turn * ((i + 0.5), (j + 0.5)) *
// pitch.
struct Raster {
  int width = 0, height = 0;
  double pitch_mm = 0.05;
  double turn_rad = 0;
  Point origin;                     // corner of cell (0, 0)
  std::vector<std::uint8_t> cells;  // row by row

  Point middle(int i, int j) const;
  std::uint8_t& at(int i, int j) { return cells[static_cast<std::size_t>(j) * width + i]; }
  std::uint8_t at(int i, int j) const { return cells[static_cast<std::size_t>(j) * width + i]; }
};

// A raster of zeros that covers the box turned by `turn_rad`. A coverage score on a grid aligned
// with stitch rows lies by tens of times; turn it (17.3 degrees) whenever rows are scored.
Raster make_raster(const Box& box, double pitch_mm, double turn_rad);
// Sets to `value` every cell whose middle lies inside.
void paint(Raster& raster, const Polygons& polygons, std::uint8_t value);
// Sets to `value` every cell whose middle is within width/2 of the segment.
void paint_capsule(Raster& raster, Point a, Point b, double width_mm, std::uint8_t value);

}  // namespace buckram::geometry
