// The order within one visit of a thread: construction, then Or-opt and re-choice of ways. Not part
// of the door.
#pragma once

#include "sequence/links.h"
#include "sequence/precedence.h"

#include <vector>

namespace buckram::sequence {

struct Stop {
  int object = 0;
  int way = 0;
};
using Chain = std::vector<Stop>;

// Everything a chain is judged by. `stray` is how far an object lies from where sewing should
// start (the middle of the bill edge), mm: going back inwards costs.
struct Judge {
  const std::vector<digitise::Object>& objects;
  const Precedence& precedence;
  const Links& links;
  Weights weights;
  std::vector<double> stray;
  bool is_inward_dear = true;  // false where the user fixed the order
};

// The cheapest ways for objects in a fixed order, from `from` with `sewn` on the cloth
// (dynamic programme over ways; O(n w^2) links).
Chain with_best_ways(const Judge& judge, const std::vector<int>& order, geometry::Point from,
                     const ObjectSet& sewn);

// An order of `members` that keeps precedence (those outside are taken as sewn where they are in
// `sewn`). `most_tries` bounds the moves tried; never the clock.
Chain best_chain(const Judge& judge, const std::vector<int>& members, geometry::Point from,
                 const ObjectSet& sewn, int most_tries);

}  // namespace buckram::sequence
