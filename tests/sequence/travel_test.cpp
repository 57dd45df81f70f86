// Judged by polygons (Clipper), not by the grid that the ways were found on.
#include "sequence/travel.h"
#include "sequence/boxes.h"

#include <gtest/gtest.h>

namespace buckram::sequence {
namespace {

using digitise::Object;
using geometry::Point;

constexpr double kCellMm = 0.15;  // a place and the middle of its cell are at most so far apart

TEST(CoverGrid, AgreesWithThePolygons) {
  int n_inside = 0;
  for (std::uint64_t seed = 1; seed <= 5; ++seed) {
    const std::vector<Object> objects = random_objects(seed, 10, 2);
    const CoverGrid grid(objects, 0.3);
    for (int c = 0; c < grid.n_cells(); c += 37) {
      const auto found = grid.objects_at(c);
      for (int o = 0; o < 10; ++o) {
        const bool is_in =
            geometry::contains(objects[static_cast<std::size_t>(o)].outline, grid.middle(c));
        n_inside += is_in;
        EXPECT_EQ(std::find(found.begin(), found.end(), o) != found.end(), is_in);
      }
    }
  }
  EXPECT_GT(n_inside, 500);
}

// Whether later objects cover p, or the object just sewn near the way's start.
bool is_covered(const std::vector<geometry::Polygons>& grown, const std::vector<int>& step_of,
                Point p, int step, int from, Point a) {
  for (std::size_t o = 0; o < grown.size(); ++o) {
    const bool counts = step_of[o] >= step ||
                        (static_cast<int>(o) == from && geometry::distance(p, a) < 0.7 + kCellMm);
    if (counts && geometry::contains(grown[o], p)) return true;
  }
  return geometry::distance(p, a) < 0.2 + kCellMm;
}

TEST(Travel, EveryWayLiesUnderWhatIsSewnLater) {
  int n_ways = 0, n_stitches = 0;
  for (std::uint64_t seed = 1; seed <= 25; ++seed) {
    SCOPED_TRACE(seed);
    const std::vector<Object> objects = random_objects(seed, 25, 2);
    const Order order = order_objects(objects, {});
    std::vector<int> step_of(objects.size());
    std::vector<geometry::Polygons> grown;
    for (std::size_t k = 0; k < order.steps.size(); ++k) {
      step_of[static_cast<std::size_t>(order.steps[k].object)] = static_cast<int>(k);
    }
    for (const Object& o : objects) grown.push_back(geometry::offset(o.outline, kCellMm));
    for (std::size_t k = 1; k < order.steps.size(); ++k) {
      const Step &last = order.steps[k - 1], &step = order.steps[k];
      if (step.link != Link::hidden) continue;
      ++n_ways;
      const auto& ways = objects[static_cast<std::size_t>(last.object)].ways;
      geometry::Polyline way = step.travel;
      const Point a = ways[static_cast<std::size_t>(last.way)].exit;
      way.insert(way.begin(), a);
      way.push_back(objects[static_cast<std::size_t>(step.object)]
                        .ways[static_cast<std::size_t>(step.way)]
                        .entry);
      for (std::size_t i = 1; i < way.size(); ++i) {
        ++n_stitches;
        if (way.size() > 2) {
          EXPECT_GE(geometry::distance(way[i - 1], way[i]), 0.8 - 1e-9);
        }
        for (int t = 0; t <= 20; ++t) {
          EXPECT_TRUE(is_covered(grown, step_of, geometry::mix(way[i - 1], way[i], t / 20.0),
                                 static_cast<int>(k), last.object, a));
        }
      }
    }
  }
  EXPECT_GT(n_ways, 60);
  EXPECT_GT(n_stitches, 150);
}

}  // namespace
}  // namespace buckram::sequence
