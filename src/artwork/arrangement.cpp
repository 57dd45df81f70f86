#include "artwork/arrangement.h"

#include <iterator>
#include <utility>

namespace buckram::artwork {

using geometry::Polygon;
using geometry::Polygons;

std::size_t points_of(const Polygons& polygons) {
  std::size_t n = 0;
  for (const Polygon& polygon : polygons) {
    n += polygon.outer.size();
    for (const geometry::Ring& hole : polygon.holes) n += hole.size();
  }
  return n;
}

std::vector<Polygons> what_shows_pairwise(const std::vector<Painted>& painted, WorkLimit& work) {
  std::vector<Polygons> visible(painted.size());
  for (std::size_t i = 0; i < painted.size(); ++i) {
    Polygons over;
    for (std::size_t j = i + 1; j < painted.size(); ++j) {
      if (!painted[i].box.meets(painted[j].box)) continue;
      for (const Polygon& polygon : painted[j].area)
        if (geometry::bounds(polygon.outer).meets(painted[i].box)) over.push_back(polygon);
    }
    visible[i] = painted[i].area;
    if (over.empty()) continue;
    work.spend(painted[i].area, over, painted[i].source);
    visible[i] = geometry::subtract(painted[i].area, over);
  }
  return visible;
}

std::vector<Polygons> what_shows_under_cover(const std::vector<Painted>& painted, WorkLimit& work) {
  struct Piece {
    Polygon polygon;
    geometry::Box box;
  };
  std::vector<Piece> cover;  // disjoint
  std::vector<Polygons> visible(painted.size());
  for (std::size_t i = painted.size(); i-- > 0;) {
    Polygons near;
    std::erase_if(cover, [&](Piece& piece) {
      if (!piece.box.meets(painted[i].box)) return false;
      near.push_back(std::move(piece.polygon));
      return true;
    });
    work.spend(painted[i].area, near, painted[i].source);
    visible[i] = near.empty() ? painted[i].area : geometry::subtract(painted[i].area, near);
    // Whole areas, not what shows of them: those overlap, and leave no cracks where they join.
    Polygons joined = near.empty() ? painted[i].area : geometry::unite(near, painted[i].area);
    for (Polygon& polygon : joined) {
      const geometry::Box box = geometry::bounds(polygon.outer);
      cover.push_back({std::move(polygon), box});
    }
  }
  return visible;
}

std::vector<Polygons> what_shows(const std::vector<Painted>& painted, WorkLimit& work) {
  double all = 0, over = 0;
  std::vector<double> points;
  for (const Painted& each : painted) points.push_back(static_cast<double>(points_of(each.area)));
  for (std::size_t i = 0; i < painted.size(); ++i) {
    all += points[i];
    for (std::size_t j = i + 1; j < painted.size(); ++j)
      if (painted[i].box.meets(painted[j].box)) over += points[j];
  }
  constexpr double kFewOver =
      3;  // areas over each, by points: pictures have 1 to 2, a rosette of 64 has 13
  return over < kFewOver * all ? what_shows_pairwise(painted, work)
                               : what_shows_under_cover(painted, work);
}

}  // namespace buckram::artwork
