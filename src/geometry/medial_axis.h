// The medial axis of a polygon: the middle line of every stroke, with its half width.
//
// Method: segment Voronoi diagram of the outline (Boost.Polygon; Fortune's sweep on integers),
// edges inside the polygon kept. The diagram is wrong for some valid polygons (boostorg/polygon
// issue 43: a reflex vertex goes missing), so: the outline is put on a fine grid, made strictly
// simple, turned by an odd angle, built, and verified (every outline vertex that is not collinear
// is a Voronoi vertex, all coordinates finite, sampled points equidistant from their two sites and
// not nearer to any other); on failure the next (angle, scale) is tried. CGAL (GPL) and straight
// skeletons (minutes at 3,000 vertices) were rejected.
#pragma once

#include "geometry/polygon.h"

#include <vector>

namespace buckram::geometry {

struct MedialNode {
  Point at;
  double radius_mm = 0;  // distance to the outline
  friend bool operator==(const MedialNode&, const MedialNode&) = default;
};

struct MedialEdge {
  int from = 0, to = 0;  // nodes
  // The two places on the outline that the middle of this edge is nearest to. The angle they
  // subtend tells a stroke (opposite sides) from a corner's spur (the same side).
  Point foot_left, foot_right;
  friend bool operator==(const MedialEdge&, const MedialEdge&) = default;
};

struct MedialAxis {
  std::vector<MedialNode> nodes;
  std::vector<MedialEdge> edges;  // straight; parabolic arcs are sampled to `chord_mm`
};

struct MedialOptions {
  double chord_mm = 0.02;  // largest distance between a parabolic arc and its chain
  int tries = 6;           // (angle, scale) pairs before giving up
};

struct MedialResult {
  MedialAxis axis;
  int tries = 0;          // how many builds it took
  bool verified = false;  // false: no build passed; the axis is the last one and not to be trusted
};

// O(n log n); about 15 us per outline segment. The polygon must satisfy the rules of Polygon; what
// does not is mended by a union first.
MedialResult medial_axis(const Polygon& polygon, const MedialOptions& options = {});

// A maximal chain of edges between ends (1 edge) and junctions (3 or more edges), or a closed loop.
struct MedialBranch {
  std::vector<int> nodes;  // in order; for a closed loop the first is not repeated (a loop that
                           // hangs on a junction is open and ends where it starts)
  bool closed = false;
  double length_mm = 0;
};

// Drops spurs: a branch that ends free is kept only when it sticks out beyond the disc of the
// junction it leaves by more than `significance` times that disc's radius (a right-angled corner
// sticks out 0.41, one of 60 degrees 1.0). Smallest first, measured again as junctions vanish, so
// that a rough outline's twigs never eat the stroke they sit on; spurs into the corners of one
// stroke end go together, even where one of them sticks out up to a quarter more than the limit.
// Branches without a junction stay; where all branches of a junction go (a dot, a square) it is
// left as a node without edges. Law: holes' loops stay. O(n log n) but for the walks along free
// branches.
MedialAxis pruned(const MedialAxis& axis, double significance);

std::vector<MedialBranch> branches(const MedialAxis& axis);

}  // namespace buckram::geometry
