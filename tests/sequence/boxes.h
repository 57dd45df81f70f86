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

// Up to n pairs at random: the end of one is tucked under the other.
inline void add_tucks(std::uint64_t seed, int n, std::vector<digitise::Object>& objects) {
  base::Random random(seed);
  for (int k = 0; k < n; ++k) {
    const int from = random.below(static_cast<int>(objects.size()));
    digitise::Object& over =
        objects[static_cast<std::size_t>(random.below(static_cast<int>(objects.size())))];
    over.after.push_back(from + 1);
    over.tucked.push_back(from + 1);
  }
}

// An upright, a bar from it to the right, and another upright: the bar's ends are tucked under
// both. The uprights are too far apart for a step.
inline std::vector<digitise::Object> two_uprights_and_a_bar() {
  std::vector<digitise::Object> objects{object_of(1, 0, 0, box(-6, 20, 3, 12)),
                                        object_of(2, 0, 0, box(-4, 25, 9, 3)),
                                        object_of(3, 0, 0, box(4, 20, 3, 12))};
  objects[0].after = objects[0].tucked = {2};
  objects[2].after = objects[2].tucked = {2};
  return objects;
}

}  // namespace buckram::sequence
