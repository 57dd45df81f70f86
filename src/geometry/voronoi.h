// The Voronoi diagram of segments, as a bare list of its edges. Not part of the door.
//
// Wraps the sweep of Boost.Polygon (A. Sydorchuk, GSoC 2010). Its own diagram structure is not
// used: what it does after the sweep, removing edges of no length by walking round vertices,
// never ends on some inputs (boostorg/polygon issue 49), and the list is all that is needed.
#pragma once

#include "geometry/snap.h"

#include <array>
#include <vector>

namespace buckram::geometry {

struct VoronoiSite {
  int segment = -1;
  enum class Part { whole, from, to } part = Part::whole;  // the segment or one of its ends
};

struct VoronoiEdge {
  std::array<VoronoiSite, 2> sites;
  std::array<int, 2> vertices{-1, -1};  // -1: goes to infinity
  // Not between a segment and its own end, where the bisector only bounds the end's wedge.
  bool is_primary = true;
};

struct VoronoiDiagram {
  std::vector<Point> vertices;  // grid units; may repeat; may be not finite when the sweep failed
  std::vector<VoronoiEdge> edges;
};

// O(n log n). The outline should be clean; of one that is not the diagram may be nonsense, but
// the call returns.
VoronoiDiagram voronoi(const GridOutline& outline);

}  // namespace buckram::geometry
