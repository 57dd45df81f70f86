// What no order can better: the measures that a plan is held against.
//
// Trims. Within a visit, object b can follow a without a trim only if some of their ends lie within
// the trim limit or if what may still be open when a has been sewn leads from one to the other:
// all but earlier visits, a, and whatever must precede a or b. Islands are the parts that such
// links leave apart. A visit is also a set of paths, and each object has one link into it and one
// out of it, so a matching of ends (Kuhn 1955: augmenting paths) bounds the links a plan can have:
// never fewer trims than that leaves. Where hidden links are concerned the graph of covers stands
// for the cloth itself (links.h).
//
// Travel. The Held-Karp bound of the shortest path through all members, where a link costs nothing
// when it can be hidden and the distance between the nearest ends when it cannot, precedence among
// links dropped: it is below what any order can reach.
#pragma once

#include "sequence/tour.h"

#include <vector>

namespace buckram::sequence {

struct VisitBound {
  bool is_known =
      true;  // false above kMostBounded members: pairs of all would need too much memory
  int islands = 1;
  int least_trims = 0;  // at least islands - 1
  double visible_mm = 0;
};

inline constexpr int kMostBounded = 2000;

// Before anything was forbidden in judge.links. O(n^2 w^2) links and 100 spanning trees, fewer
// above 500 members; 16 n^2 bytes. Of very many links that may be hidden the last are taken to be,
// unasked: the bound stays one. Looks at judge.watch.
VisitBound bound_of(const Judge& judge, const std::vector<int>& members, double trim_mm);

// Lower bound on the shortest path through n places from one of them to another, whichever:
// spanning trees with weights on places (Held and Karp 1970, 1971), a place at distance 0 from all
// closing the path to a ring. `cost` is symmetric, n x n. Within about a per cent of the optimum
// when given 100 rounds and more. O(n^2) a round.
double path_bound(const std::vector<double>& cost, int n, int n_rounds,
                  const base::Watch& watch = {});

// The most links, (from, to) by place, that use each place at most once as start and once as end.
int most_links(const std::vector<std::vector<int>>& may_follow);

}  // namespace buckram::sequence
