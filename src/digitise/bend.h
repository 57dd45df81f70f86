// Rows that bend with the shape: coordinates along and off a guide curve.
//
// The guide is the shape's middle line, smoothed and carried on straight beyond both ends. A place
// has the coordinates (s, d): s along the guide to the foot of its perpendicular, d off it to the
// left. Lines of equal d are the guide's parallel curves: equally far apart everywhere, so rows
// along them keep their spacing exactly (L. Piegl, W. Tiller, The NURBS Book, 1997, 9.5, on offset
// curves), which rows along a general smooth field do not. Where the guide bends with curvature k,
// lengths along a row are 1 - k d times those along the guide. A fill is laid straight in these
// coordinates and its holes are carried back. See docs/notes/fills.md.
#pragma once

#include "digitise/recipe.h"
#include "geometry/geometry.h"

#include <optional>

namespace buckram::digitise {

class Bend {
 public:
  // `guide` has points every kStepMm at most; of a closed one the last is not the first again.
  explicit Bend(geometry::Polyline guide, bool closed = false);

  // Laws: to_cloth(to_flat(p)) = p within 1e-3 mm, and to_flat(to_cloth(q)) = q, where the shape's
  // stretch stays within its bounds; a straight guide turns and moves, and nothing else.
  geometry::Point to_flat(geometry::Point on_cloth) const;
  geometry::Point to_cloth(geometry::Point flat) const;
  // From flat b to flat a; round a ring the shorter way, where s and s plus its length are one
  // place.
  geometry::Point apart(geometry::Point a, geometry::Point b) const;
  // 1 - k d at a place: how much longer a row is there than its share of the guide.
  double stretch(geometry::Point flat) const;
  // The area in flat coordinates. A ring is cut open where its guide begins.
  geometry::Polygons flattened(const geometry::Polygons& on_cloth) const;
  // The same for laying rows: a ring's end laps over its beginning, so that no cloth shows between
  // the rows' ends.
  geometry::Polygons for_rows(const geometry::Polygons& on_cloth) const;

  static constexpr double kStepMm = 0.25;

 private:
  struct Foot {
    geometry::Point at, along;
    double bend = 0;  // curvature, 1/mm
  };
  Foot foot(double s) const;
  double nearest(geometry::Point p) const;
  geometry::Polygons cut_open(const geometry::Polygons& ring) const;

  geometry::Polyline guide_;
  std::vector<geometry::Point> along_;  // unit tangents at the guide's points
  bool closed_ = false;
  double step_mm_ = 0, length_mm_ = 0;
};

// The bend that the area follows: none where it has no one middle line, or where rows along it
// would be drawn out to more than 2.4 or pressed to less than 0.3 of their length, however smooth
// the guide.
std::optional<Bend> bend_of(const geometry::Polygons& area);

// The recipe for rows laid flat: stitches so short that between two holes no row leaves its curve
// by more than a tenth of the spacing (never under 1.6 mm), and none too short on the inside.
Recipe flat_recipe(const Bend& bend, const geometry::Polygons& flat, Recipe recipe);

}  // namespace buckram::digitise
