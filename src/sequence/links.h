// What it costs to go from one object to the next, while the search still moves them about.
//
// Exact ways of travel are too dear to find for every pair that is tried. The search asks a graph
// instead: thread can pass hidden from where A ends to where B begins when objects that are not yet
// sewn, each touching the next broadly, lead from the one place to the other. Only the set that is
// sewn matters, not its order, so moving a stretch of the sequence changes links within it alone.
#pragma once

#include "sequence/cover_grid.h"
#include "sequence/sequence.h"

#include <vector>

namespace buckram::sequence {

// Weights, in units of one millimetre of visible travel: what is written >> in the design is at
// least a factor of ten here.
struct Weights {
  double trim = 400;
  double step = 20;
  double visible_mm = 1;
  double hidden_mm = 0.1;
  double inward_mm = 0.05;  // of the distance by which an object lies nearer than what is sewn
  double seam_trim = 40;    // a trim too near to the seam
};

struct LinkGuess {
  Link link = Link::trim;
  double mm = 0;
  double cost = 0;
};

class Links {
 public:
  Links(const std::vector<digitise::Object>& objects, const CoverGrid& grid,
        const OrderOptions& options, const Weights& weights);

  int n_ways(int object) const {
    return static_cast<int>(objects_[static_cast<std::size_t>(object)].ways.size());
  }
  // From object a sewn by way wa to b by wb, with `sewn` on the cloth (a among them, b not).
  LinkGuess link(int a, int wa, int b, int wb, const ObjectSet& sewn) const;
  // The same without cover: a step or a trim.
  LinkGuess visible_link(geometry::Point from, geometry::Point to) const;
  // Whether the two could be joined without a trim by some way at some time (nothing sewn).
  bool can_join(int a, int b) const;

 private:
  bool is_hidden(const ObjectSet& from, const ObjectSet& to, const ObjectSet& sewn) const;
  std::size_t port(int object, int way) const {
    return first_port_[static_cast<std::size_t>(object)] + static_cast<std::size_t>(way);
  }

  const std::vector<digitise::Object>& objects_;
  OrderOptions options_;
  Weights weights_;
  std::vector<ObjectSet> neighbours_;
  std::vector<std::size_t> first_port_;
  std::vector<ObjectSet> near_entry_, near_exit_;  // by port
};

}  // namespace buckram::sequence
