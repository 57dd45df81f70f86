// Small plans that the tests of stitch/ share.
#pragma once

#include "stitch/stitch.h"

#include "base/base.h"

#include <vector>

namespace buckram::stitch::tests {

inline std::vector<PlanThread> two_threads() {
  return {{"Harbour blue", "#1f4e79", 27, 1}, {"Chalk", "#f4f1e8", 27, 2}};
}

inline std::vector<PlanObject> three_objects() {
  return {{1, Kind::fill, 0, "hull"}, {2, Kind::column, 1, "mast"}, {3, Kind::run, 0, "rope"}};
}

// Locked, sewn and cut as every limit wants it: a fill of two rows, a column, a run.
inline Plan sound_plan() {
  Builder b(two_threads(), three_objects());
  const auto lock = [&b](int object, geometry::Point at) {
    b.begin(object, Layer::lock);
    b.sew(at);
    b.sew(at + geometry::Point{0.8, 0});
    b.sew(at);
  };
  lock(1, {0, 16});
  b.begin(1, Layer::top);
  for (const geometry::Point p :
       {geometry::Point{3.5, 16}, {7, 16}, {7, 16.4}, {3.5, 16.4}, {0, 16.4}}) {
    b.sew(p);
  }
  lock(1, {0, 16.4});
  lock(2, {2, 18});
  b.begin(2, Layer::top);
  for (int k = 0; k < 6; ++k) b.sew({k % 2 == 0 ? 5.0 : 2.0, 18 + 0.2 * k});
  lock(2, {2, 19});
  b.begin(3, Layer::lock);
  b.move({10, 20});
  lock(3, {10, 20});
  b.begin(3, Layer::top);
  for (int k = 1; k < 6; ++k) b.sew({10 + 2.2 * k, 20});
  lock(3, {21, 20});
  return b.finish();
}

// Any calls in any order, as a careless caller would make them.
inline Plan random_plan(std::uint64_t seed) {
  base::Random random(seed);
  Builder b(two_threads(), three_objects());
  b.begin(1 + random.below(3), Layer::under);
  const int n_calls = random.below(60);
  for (int k = 0; k < n_calls; ++k) {
    const double x = random.uniform(-60, 60);
    const double y = random.uniform(4, 80);
    const int object = 1 + random.below(3);
    const int layer = random.below(4);
    switch (random.below(8)) {
      case 0:
        b.begin(object, static_cast<Layer>(layer));
        break;
      case 1:
        b.move({x, y});
        break;
      case 2:
        b.trim();
        break;
      case 3:
        b.stop();
        break;
      default:
        b.sew({x, y});
        break;
    }
  }
  return b.finish();
}

}  // namespace buckram::stitch::tests
