// The search over a visit's order: Or-opt with both directions, 2-opt where precedence allows,
// re-choice of ways, and perturbation. Not part of the door.
//
// Local search looks only at places next to the nearest other objects and starts again only where
// something has changed; a kick swaps two short neighbouring stretches, which breaks no direction
// (a local double bridge: Martin, Otto and Felten 1991), and is taken back unless what follows is
// at least as good. Johnson and McGeoch (1997) give 2-opt and Or-opt alone about 5 % above the
// Held-Karp bound; with the kicks it is about 1 % (bench/sequence prints it).
#pragma once

#include "sequence/tour.h"

#include <cstdint>

namespace buckram::sequence {

// For each object of a visit the few others that cost least to go to or come from, least first.
using Nearest = std::vector<std::vector<int>>;  // by object, of the whole design

// Of all pairs; where these are very many, of the 24 and more whose ends lie nearest.
Nearest nearest_of(const Judge& judge, const std::vector<int>& members);

struct SearchOptions {
  int most_tries = 100'000;  // changes judged, in all; one that takes long counts as more
  std::uint64_t seed = 1;
  const Nearest* nearest = nullptr;  // found where not given
};

// The cheapest ways for objects in a fixed order (dynamic programme over ways; O(n w^2) links).
Chain with_best_ways(const Judge& judge, const std::vector<int>& order);

// A greedy order: the cheapest next stop among those whose turn may come; above 600 members only
// the 24 that begin or end nearest are looked at. O(n^2 w) links, O(n w) above.
Chain constructed(const Judge& judge, const std::vector<int>& members);

// Greedy from the end of the order: the cheapest stop to come before the one put in last, from the
// best of up to eight ends. Cloth that hangs together needs no trim so, since what is put in is
// still open for whatever comes before. O(n^2 w) links for each end.
Chain constructed_backwards(const Judge& judge, const std::vector<int>& members);

// The best chain there is, by dynamic programme over sets: at most kMostExact members.
inline constexpr int kMostExact = 8;
Chain exact_chain(const Judge& judge, const std::vector<int>& members);

// Never dearer than `start`, and with the same objects. Deterministic.
Chain improved(const Judge& judge, Chain start, const SearchOptions& options);

// An order of `members` that keeps precedence: exact for few, else construction and search.
Chain best_chain(const Judge& judge, const std::vector<int>& members, const SearchOptions& options);

}  // namespace buckram::sequence
