// Which thread sews when: the fewest thread changes that precedence allows.
//
// Putting a thread in and sewing everything that may be sewn with it is never worse than leaving
// some of it for later (what is sewn only ever frees more), so a plan of changes is a sequence of
// threads. A* over what is sewn after each visit; the bound on what remains is, for each thread,
// the most visits that any one chain of precedence forces on it, summed over threads.
#pragma once

#include "sequence/precedence.h"

#include "base/base.h"

#include <functional>
#include <vector>

namespace buckram::sequence {

struct Visit {
  int thread = 0;
  std::vector<int> objects;  // in an order that keeps precedence
};

struct VisitPlan {
  std::vector<Visit> visits;
  int least_visits = 0;  // proven; equal to visits.size() unless the search was cut short
};

// Among plans with equally few visits, each sewing all it can, the one with the least sum of
// `cost(object, sewn)`, none negative. At most `most_states` sets are opened to find the fewest
// (after that the best set is completed greedily) and as many again to find the cheapest (after
// that the first with the fewest is taken).
VisitPlan plan_visits(const Precedence& precedence, const std::vector<int>& thread_of,
                      const std::function<double(int, const ObjectSet&)>& cost,
                      int most_states = 3000, const base::Watch& watch = {});

}  // namespace buckram::sequence
