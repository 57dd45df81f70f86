// What shows of areas that are painted one over the other. Not part of the door.
#pragma once

#include "artwork/work_limit.h"
#include "geometry/geometry.h"

#include <string>
#include <vector>

namespace buckram::artwork {

struct Painted {
  geometry::Polygons area;
  geometry::Box box;
  std::string source;
};

// Of each area, first painted first, what later ones leave of it. All cuts are made along the
// later area's own outline, so that neighbours agree within the grid (0.1 um).
// Two ways that give the same: where few areas overlap each is cut by those over it; where many
// do, each is cut by the union so far of all that lies over it, kept as separate pieces.
std::vector<geometry::Polygons> what_shows(const std::vector<Painted>& painted, WorkLimit& work);

// The two ways, for tests.
std::vector<geometry::Polygons> what_shows_pairwise(const std::vector<Painted>& painted,
                                                    WorkLimit& work);
std::vector<geometry::Polygons> what_shows_under_cover(const std::vector<Painted>& painted,
                                                       WorkLimit& work);

std::size_t points_of(const geometry::Polygons& polygons);

}  // namespace buckram::artwork
