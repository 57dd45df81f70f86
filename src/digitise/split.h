// A shape cut into cells, each to be one column, run or fill.
#pragma once

#include "digitise/cuts.h"

#include <vector>

namespace buckram::digitise {

struct Cell {
  geometry::Polygon area;      // with what it reaches under or over its neighbours
  bool wide = false;           // too wide for a column, or its axis cannot be trusted
  double shape_widest_mm = 0;  // of the whole shape the cell was cut from; 0: not known
  std::vector<int> after;      // cells to be sewn before this one, by index; no cycles
  // Of these, the ones that butt against this cell, an end tucked under it, none of it on top.
  std::vector<int> tucked = {};
};

// The cells cover the polygon but for slits of 2 um; parts below 0.001 mm^2 are dropped.
// `drawn`: as in find_cuts.
std::vector<Cell> split(const geometry::Polygon& polygon, const Recipe& recipe,
                        const geometry::Polygons& drawn = {});

}  // namespace buckram::digitise
