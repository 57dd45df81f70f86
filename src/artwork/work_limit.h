// A bound on the time that polygon booleans may take, counted in steps instead of seconds, so that
// the same file is refused on every machine or on none.
//
// The sweep of a boolean visits, at every distinct height of a vertex, every edge that is alive
// there; and it visits every crossing. A comb of n long teeth has n heights times n edges, a
// scribble of n long strokes n^2/4 crossings: a small file can ask for hours of work.
#pragma once

#include "geometry/geometry.h"

#include <string>
#include <vector>

namespace buckram::artwork {

class WorkLimit {
 public:
  // A step is about 10 ns: 4 to 10 s of sweeping at the default.
  explicit WorkLimit(double steps = 4e8) : left_(steps) {}

  // Takes off what a boolean over these rings will cost. Throws Error{bad_artwork} naming the
  // element when nothing is left. O(n log n).
  void spend(const std::vector<geometry::Ring>& rings, const std::string& source);
  void spend(const geometry::Polygons& a, const geometry::Polygons& b, const std::string& source);

 private:
  double left_;
};

// Steps of about 10 ns for one boolean: so much for the call, for each point, for each edge alive
// at each distinct height, and for each crossing, whose number is estimated from pairs of edges
// drawn with a fixed seed. Weights measured on combs, scribbles and pictures; right within a factor
// of 3.
double sweep_steps(const std::vector<const geometry::Ring*>& rings);

}  // namespace buckram::artwork
