// Polygons with holes, and their booleans and offsets.
//
// Booleans and offsets wrap Clipper 6.4 (A. Johnson; the algorithm is Vatti, CACM 35(7), 1992) on
// an integer grid of 0.1 um, so that coordinates up to 100 m stay in its fast range and two
// results cut by the same line share its snapped points. Straight skeletons and a second
// boolean library (GEOS) were left out: the first is not needed, the second checks this one in
// tests. Known limit: rings that pass the same few places dozens of times can come out wrong by
// one cell of that pattern (12 of 4,000 random rings of up to 40 corners on a 9 x 9 grid; none of
// 4,000 with up to 10; none of 9,546 booleans between neighbouring shapes of three picture sets,
// by inclusion-exclusion). Clipper's own CleanPolygon is never used: it deletes by
// neighbour spacing and can destroy finely sampled outlines.
#pragma once

#include "geometry/point.h"

#include <span>
#include <vector>

namespace buckram::geometry {

// Outer ring counter-clockwise, holes clockwise, no ring crossing itself or another. Every
// function below that returns Polygons returns them so, with rings of at least 3 points.
struct Polygon {
  Ring outer;
  std::vector<Ring> holes;
  friend bool operator==(const Polygon&, const Polygon&) = default;
};
using Polygons = std::vector<Polygon>;

enum class FillRule { nonzero, evenodd };
enum class Join { round, miter, bevel };
enum class Cap { butt, round, square };

// The grid that booleans snap to.
inline constexpr double kGridMm = 1e-4;

// Signed area in mm^2, positive when counter-clockwise.
double area(std::span<const Point> ring);
double area(const Polygon& polygon);  // holes taken off
double area(const Polygons& polygons);
Box bounds(std::span<const Point> points);
Box bounds(const Polygon& polygon);
Box bounds(const Polygons& polygons);
double length(std::span<const Point> polyline);  // open
double perimeter(const Polygons& polygons);      // all rings
// Twice the area over the perimeter: the width of a strip much longer than wide.
double mean_width(const Polygon& polygon);
Ring reversed(Ring ring);
Polygon transformed(const Polygon& polygon, const Affine& map);  // orientation kept valid
Polygons transformed(const Polygons& polygons, const Affine& map);
Polyline transformed(const Polyline& polyline, const Affine& map);

// Half-open crossing rule; a point on the outline may fall on either side. O(vertices).
bool contains(const Polygon& polygon, Point p);
bool contains(const Polygons& polygons, Point p);
// Distance from p to the nearest outline, 0 on it. O(vertices).
double distance_to_outline(const Polygons& polygons, Point p);

// Booleans throw base::Error (bad_artwork) for a coordinate that is not finite or beyond 100 m.
// What the rings cover by the rule. Rings may cross, touch, repeat and run either way.
Polygons unite(const std::vector<Ring>& rings, FillRule rule);
Polygons unite(const Polygons& a, const Polygons& b);
Polygons unite(const std::vector<Polygons>& all);
Polygons intersect(const Polygons& a, const Polygons& b);
Polygons subtract(const Polygons& a, const Polygons& b);

// All points within `distance_mm` of the polygons; negative: all points farther than that from the
// outside. The outline is thinned by half of `arc_tolerance_mm` first and round joins use the
// other half, so the result deviates by at most that. A miter longer than
// miter_limit * distance is bevelled. Costs n log n plus the crossings of the raw chain with
// itself, about n * distance / edge length where a dense outline is hollow.
Polygons offset(const Polygons& polygons, double distance_mm, Join join = Join::round,
                double arc_tolerance_mm = 0.005, double miter_limit = 2);

// What a pen of the given width covers along a line, as SVG draws it (SVG 1.1, 11.4): places
// crossed twice count once; a miter longer than miter_limit * width is bevelled; a line of no
// length shows a disc with round caps, an upright square with square caps, nothing with butt
// caps, closed or not. `closed` joins the last point to the first.
Polygons stroke_outline(const Polyline& line, double width_mm, bool closed, Join join, Cap cap,
                        double miter_limit = 4, double arc_tolerance_mm = 0.005);

// Douglas-Peucker on every ring, then a union to mend what the thinning made cross. No point of
// the old outline lies farther than the tolerance from the new one (before mending).
Polygons simplify(const Polygons& polygons, double tolerance_mm);
Polyline simplify(const Polyline& polyline, double tolerance_mm);

// Parts thinner than `width_mm` removed (an opening by half of it), parts smaller than
// `least_area_mm2` dropped. Corners down to 23 degrees are kept: the result is cut from the
// original. Law: the result lies inside the original.
Polygons without_slivers(const Polygons& polygons, double width_mm, double least_area_mm2);

// The parts of the polyline inside the polygons, in order along it. O(segments * vertices) of
// the polygons whose boxes the segment's box meets.
std::vector<Polyline> clip(const Polyline& polyline, const Polygons& polygons);
// Whether the segment a-b stays inside the polygons (touching the outline is allowed within
// kGridMm).
bool inside(Point a, Point b, const Polygons& polygons);

}  // namespace buckram::geometry
