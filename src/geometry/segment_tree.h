// Boxes over segments in the order given: who is near, in about log n. Not part of the door.
//
// Outlines come in walking order, so neighbours in the array are neighbours in the plane, and a
// tree of boxes over runs of the array needs no sorting.
#pragma once

#include "geometry/point.h"

#include <cstdint>
#include <utility>
#include <vector>

namespace buckram::geometry {

struct Segment {
  Point a, b;
};

class SegmentTree {
 public:
  explicit SegmentTree(std::vector<Segment> segments);
  const std::vector<Segment>& segments() const { return segments_; }

  // Calls visit(index) for every segment whose box meets `box`, each once.
  template <typename Visit>
  void visit_near(const Box& box, Visit visit) const {
    walk([&box](const Box& node) { return node.meets(box); }, visit);
  }

  // Whether a segment comes closer to p than r. `budget` is lowered by the boxes and segments
  // looked at; at 0 the question is given up with the answer false.
  bool any_closer(Point p, double r, std::int64_t& budget) const;

 private:
  static constexpr std::size_t kFan = 4;

  template <typename Enter, typename Visit>
  void walk(Enter enter, Visit visit) const {
    if (levels_.empty()) return;
    constexpr std::size_t kDeepest = 128;  // kFan boxes on each of 32 levels at most
    std::pair<std::uint32_t, std::uint32_t> pending[kDeepest];  // level, place
    std::size_t n = 0;
    pending[n++] = {static_cast<std::uint32_t>(levels_.size() - 1), 0};
    while (n > 0) {
      const auto [level, place] = pending[--n];
      if (!enter(levels_[level][place])) continue;
      const std::size_t first = place * kFan;
      const std::size_t size = level == 0 ? segments_.size() : levels_[level - 1].size();
      const std::size_t last = std::min(first + kFan, size);
      for (std::size_t i = first; i < last; ++i) {
        if (level == 0) {
          visit(i);
        } else {
          pending[n++] = {level - 1, static_cast<std::uint32_t>(i)};
        }
      }
    }
  }

  std::vector<Segment> segments_;
  std::vector<std::vector<Box>> levels_;  // kFan of a level under each box of the next
};

double distance_to_segment(Point p, const Segment& s);

}  // namespace buckram::geometry
