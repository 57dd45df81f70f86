// What it costs to go from one object to the next, while the search still moves them about.
//
// Exact ways of travel are too dear to find for every pair that is tried. The search asks a graph
// instead: thread can pass hidden from where A ends to where B begins when objects that are not yet
// sewn, each touching the next broadly, lead from the one place to the other. Only the set that is
// sewn matters, not its order, so moving a stretch of the sequence changes links within it alone.
// Most pairs need no search at all: what later visits sew covers all the time, and what not even
// the whole visit could cover never does. Guesses that turn out wrong when the way is laid are
// forbidden and the visit is searched again (order.cpp).
#pragma once

#include "sequence/cover_grid.h"
#include "sequence/sequence.h"

#include <cstdint>
#include <vector>

namespace buckram::sequence {

// Weights, in units of one millimetre of visible travel: what is written >> in the design is at
// least a factor of ten here.
struct Weights {
  double trim = 1000;
  double step = 20;
  double visible_mm = 1;
  double hidden_mm = 0.1;
  double first_mm = 0.1;  // to where a visit begins
  double inward_mm = 10;  // of the cost of sewing inwards
  double seam_trim = 40;  // a trim too near to the seam
};

struct Stop {
  int object = 0;
  int way = 0;
  friend bool operator==(const Stop&, const Stop&) = default;
};

struct LinkGuess {
  Link link = Link::trim;
  double mm = 0;
  double cost = 0;
};

// Of the whole design: ends, what touches what.
class Links {
 public:
  Links(const std::vector<digitise::Object>& objects, const CoverGrid& grid,
        const OrderOptions& options, const Weights& weights);

  const Weights& weights() const { return weights_; }
  int n_objects() const { return static_cast<int>(objects_.size()); }
  int n_ways(int object) const {
    return static_cast<int>(objects_[static_cast<std::size_t>(object)].ways.size());
  }
  geometry::Point entry(Stop s) const { return way(s).entry; }
  geometry::Point exit(Stop s) const { return way(s).exit; }
  // A step or a trim, whatever covers it.
  LinkGuess visible_link(geometry::Point from, geometry::Point to) const;
  // After a thread change, when the thread is cut anyway: the way hardly matters.
  double first_cost(geometry::Point from, Stop to) const {
    return weights_.first_mm * geometry::distance(from, entry(to));
  }
  double hidden_cost(Stop a, Stop b) const {
    return weights_.hidden_mm * geometry::distance(exit(a), entry(b));
  }

  // Objects that cover some place within reach of the end.
  const ObjectSet& near_entry(Stop s) const { return near_entry_[port(s)]; }
  const ObjectSet& near_exit(Stop s) const { return near_exit_[port(s)]; }
  const ObjectSet& neighbours(int object) const {
    return neighbours_[static_cast<std::size_t>(object)];
  }
  // What can be reached from `from` through neighbours, all of it among `open`.
  ObjectSet spread(const ObjectSet& from, const ObjectSet& open) const;
  // Whether thread can pass hidden from a to b while `open` is not sewn yet (b among it).
  bool is_hidden(Stop a, Stop b, const ObjectSet& open) const;

 private:
  bool reaches(std::uint64_t from, std::uint64_t to, std::uint64_t open) const;
  const digitise::Way& way(Stop s) const {
    return objects_[static_cast<std::size_t>(s.object)].ways[static_cast<std::size_t>(s.way)];
  }
  std::size_t port(Stop s) const {
    return first_port_[static_cast<std::size_t>(s.object)] + static_cast<std::size_t>(s.way);
  }

  const std::vector<digitise::Object>& objects_;
  OrderOptions options_;
  Weights weights_;
  std::vector<ObjectSet> neighbours_;
  std::vector<std::size_t> first_port_;
  std::vector<ObjectSet> near_entry_, near_exit_;  // by port
};

// Of one visit: what may be asked millions of times.
class VisitLinks {
 public:
  // `members` are sewn in this visit, `sewn` before it, all else after it.
  VisitLinks(const Links& links, const Precedence& precedence, const std::vector<int>& members,
             const ObjectSet& sewn);

  const Links& all() const { return links_; }
  const ObjectSet& sewn_before() const { return sewn_; }
  const ObjectSet& later() const { return later_; }

  enum class Cover : std::uint8_t { never, sometimes, always };
  // Whether a link from a to b is hidden never, always, or as what is sewn by then decides.
  Cover cover(Stop a, Stop b) const;
  // Cost where the cover does not depend on the order; negative where it does.
  double fixed_cost(Stop a, Stop b) const {
    if (memory_.empty()) return fixed_cost_of(a, b);
    double& known = memory_[port(a) * n_ports_ + port(b)];
    if (known == kUnknown) known = fixed_cost_of(a, b);
    return known;
  }
  // Cost of a link whose cover depends on the order, with `open` not sewn yet.
  double open_cost(Stop a, Stop b, const ObjectSet& open) const;
  bool is_hidden(Stop a, Stop b, const ObjectSet& open) const;

  // Whether anything at all could hide a link out of s.
  bool may_hide(Stop s) const { return !reach_ever_[port(s)].empty(); }

  // The way was looked for and there is none.
  void forbid(Stop a, Stop b);
  // The way that goes back over the same ends, as near as there is one.
  int turned(Stop s) const { return turned_[port(s)]; }

 private:
  static constexpr double kUnknown = 1e300;
  double fixed_cost_of(Stop a, Stop b) const;
  std::size_t port(Stop s) const {
    return first_port_[static_cast<std::size_t>(s.object)] + static_cast<std::size_t>(s.way);
  }
  bool is_forbidden(Stop a, Stop b) const;

  const Links& links_;
  ObjectSet sewn_, later_;
  std::size_t n_ports_ = 0;
  std::vector<std::size_t> first_port_;   // by object, members only
  std::vector<ObjectSet> reach_always_;   // by port: from its exit, under later visits
  std::vector<ObjectSet> reach_ever_;     // ... under all that may be open when it is left
  std::vector<int> turned_;               // by port
  std::vector<std::uint64_t> forbidden_;  // pairs of ports, sorted
  mutable std::vector<double> memory_;    // by pair of ports; empty where there are too many
};

}  // namespace buckram::sequence
