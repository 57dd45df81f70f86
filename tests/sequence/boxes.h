// Plain objects for the tests of sequence/: boxes with a run along their middle.
#pragma once

#include "base/base.h"
#include "sequence/sequence.h"

#include <vector>

namespace buckram::sequence {

inline geometry::Polygons box(double x, double y, double w, double h) {
  return {{{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}}, {}}};
}

// A run along the middle of the outline's box, sewn out and back, from either end.
inline digitise::Object object_of(int id, int thread, int order,
                                  const geometry::Polygons& outline) {
  const geometry::Box b = geometry::bounds(outline);
  digitise::Object made;
  made.id = id;
  made.thread = thread;
  made.order = order;
  made.outline = outline;
  digitise::Run run;
  run.path = {{b.x0 + 0.5, b.middle().y}, {b.x1 - 0.5, b.middle().y}};
  run.passes = 2;
  made.ways = {{run.path.front(), run.path.front(), 0}, {run.path.back(), run.path.back(), 1}};
  made.shape = run;
  return made;
}

// Boxes that overlap at random, painted in the order of their number.
inline std::vector<digitise::Object> random_objects(std::uint64_t seed, int n, int n_threads) {
  base::Random random(seed);
  std::vector<digitise::Object> objects;
  for (int i = 0; i < n; ++i) {
    const double x = random.uniform(-25, 20), y = random.uniform(16, 55);
    const double w = random.uniform(4, 15), h = random.uniform(2, 8);
    objects.push_back(object_of(i + 1, random.below(n_threads), i, box(x, y, w, h)));
  }
  return objects;
}

}  // namespace buckram::sequence
