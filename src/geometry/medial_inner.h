// The part of a Voronoi diagram that lies inside an outline, and whether it may be believed. Not
// part of the door. All lengths in grid units.
#pragma once

#include "geometry/snap.h"
#include "geometry/voronoi.h"

#include <vector>

namespace buckram::geometry {

struct InnerEdge {
  std::array<VoronoiSite, 2> sites;
  int from = 0, to = 0;  // vertices
};

// The edges inside, with edges of no length taken out and their ends made one vertex.
struct InnerDiagram {
  std::vector<Point> vertices;  // of the whole diagram
  std::vector<InnerEdge> edges;
};

InnerDiagram inner_part(const GridOutline& outline, const VoronoiDiagram& diagram);

// Why a diagram is not the medial axis of its outline.
enum class Flaw {
  none,
  outline_crosses,      // the outline could not be made clean
  not_finite,           // a coordinate is not a number, or an inner edge goes to infinity
  vertex_missing,       // a corner of the outline is no Voronoi vertex
  not_equidistant,      // an end or the middle of an edge is not equally far from its two sites
  not_nearest,          // a third place of the outline is nearer to the middle of an edge
  loose_end,            // an edge ends away from the outline
  corner_without_axis,  // no edge leads into a convex corner
};

// Checks every corner and every inner edge. About 0.4 of the time of the diagram itself.
Flaw flaw_of(const GridOutline& outline, const VoronoiDiagram& diagram, const InnerDiagram& inner);

// The bisector of an edge's two sites as a curve from 0 (from) to 1 (to): straight, or a
// parabola y = (x^2 + f^2) / (2 f) over the segment's line, with x from the foot of the focus.
struct Bisector {
  Point from, to;
  bool is_curved = false;
  Point foot, along;  // of the focus on the line; the line's unit direction
  double f = 0;       // distance of the focus from the line, signed: positive to its left
  double x_from = 0, x_to = 0;

  Point at(double t) const;
};
Bisector bisector(const GridOutline& outline, const InnerEdge& edge, Point from, Point to);

Point nearest_on(const GridOutline& outline, const VoronoiSite& site, Point p);

// The outline's vertex that a site which is an end of a segment stands for.
inline int vertex_of(const GridOutline& outline, const VoronoiSite& site) {
  const GridSegment& s = outline.segments[static_cast<std::size_t>(site.segment)];
  return site.part == VoronoiSite::Part::from ? s.from : s.to;
}

}  // namespace buckram::geometry
