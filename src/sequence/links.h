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
  double inward_mm = 2;   // of the cost of sewing inwards
  double seam_trim = 40;  // a trim too near to the seam
  double tuck = 200;      // an end that comes to lie over the stroke it was tucked under
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

// A step or a trim, whatever covers it.
LinkGuess visible_link(geometry::Point from, geometry::Point to, const OrderOptions& options,
                       const Weights& weights);

// Of the whole design: ends, what touches what. Asked by one thread at a time (it keeps notes).
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
  LinkGuess visible_link(geometry::Point from, geometry::Point to) const {
    return sequence::visible_link(from, to, options_, weights_);
  }
  // After a thread change, when the thread is cut anyway: the way hardly matters.
  double first_cost(geometry::Point from, Stop to) const {
    return weights_.first_mm * geometry::distance(from, entry(to));
  }
  double hidden_cost(Stop a, Stop b) const {
    return weights_.hidden_mm * geometry::distance(exit(a), entry(b));
  }

  // Pieces of cloth (cover_grid.h) under which thread can pass within reach of the end, sorted; at
  // an exit none of the object's own, which is sewn then.
  const std::vector<int>& near_entry(Stop s) const { return near_entry_[port(s)]; }
  const std::vector<int>& near_exit(Stop s) const { return near_exit_[port(s)]; }
  const std::vector<int>& neighbours(int piece) const {
    return neighbours_[static_cast<std::size_t>(piece)];
  }
  int n_pieces() const { return static_cast<int>(object_of_piece_.size()); }
  int object_of_piece(int piece) const { return object_of_piece_[static_cast<std::size_t>(piece)]; }
  // Objects that cover some place within reach of the exit, sorted: from there it is but a stitch
  // to one of them.
  const std::vector<int>& at_exit(Stop s) const { return at_exit_[port(s)]; }
  bool is_beside(Stop a, Stop b) const;
  // Pieces that can be reached from those of `from` through neighbours, all of them of objects
  // among `open`. O(what is found and its neighbours).
  ObjectSet spread(const std::vector<int>& from, const ObjectSet& open) const;
  // Whether thread can pass hidden from a to b while `open` is not sewn yet (b among it). Looked
  // for from both ends at once: O(neighbours of the smaller of the two parts that they lie in).
  bool is_hidden(Stop a, Stop b, const ObjectSet& open) const;
  // How many objects is_hidden() has looked at so far: the budget of a search counts them.
  std::int64_t n_looks() const { return n_looks_; }

 private:
  std::uint64_t open_pieces(std::uint64_t open) const;
  bool reaches(std::uint64_t from, std::uint64_t to, std::uint64_t open) const;
  bool meet(const std::vector<int>& from, const std::vector<int>& to, const ObjectSet& open) const;
  const digitise::Way& way(Stop s) const {
    return objects_[static_cast<std::size_t>(s.object)].ways[static_cast<std::size_t>(s.way)];
  }
  std::size_t port(Stop s) const {
    return first_port_[static_cast<std::size_t>(s.object)] + static_cast<std::size_t>(s.way);
  }

  const std::vector<digitise::Object>& objects_;
  OrderOptions options_;
  Weights weights_;
  std::vector<int> object_of_piece_;
  std::vector<std::vector<int>> neighbours_;  // by piece
  std::vector<std::size_t> first_port_;
  std::vector<std::vector<int>> near_entry_, near_exit_, at_exit_;  // by port
  std::vector<std::uint64_t> neighbour_mask_;                       // up to 64 pieces: as sets
  std::vector<std::uint64_t> near_entry_mask_, near_exit_mask_;     // ... by port
  mutable std::vector<int> seen_;  // by piece: which search, and from which end, saw it last
  mutable int stamp_ = 0;
  mutable std::int64_t n_looks_ = 0;
};

// Of one visit: what may be asked millions of times.
class VisitLinks {
 public:
  // `members` are sewn in this visit, `sewn` before it, all else after it.
  VisitLinks(const Links& links, const Precedence& precedence, const std::vector<int>& members,
             const ObjectSet& sewn);

  const Links& all() const { return links_; }
  const ObjectSet& later() const { return later_; }

  enum class Cover : std::uint8_t { never, sometimes, always };
  // Whether a link from a to b is hidden never, always, or as what is sewn by then decides.
  Cover cover(Stop a, Stop b) const;
  // Cost where the cover does not depend on the order; negative where it does.
  double fixed_cost(Stop a, Stop b) const;
  // Cost of a link whose cover depends on the order, with `open` not sewn yet.
  double open_cost(Stop a, Stop b, const ObjectSet& open) const;
  bool is_hidden(Stop a, Stop b, const ObjectSet& open) const;

  // Whether anything at all could hide a link out of s.
  bool may_hide(Stop s) const { return ever_[port(s)] >= 0; }
  // Whether any of `objects` is among what could hide it.
  bool may_lie_over(const ObjectSet& objects, Stop s) const;

  // The way was looked for and there is none.
  void forbid(Stop a, Stop b);
  // The way that goes back over the same ends, as near as there is one.
  int turned(Stop s) const { return turned_[port(s)]; }

 private:
  struct Known {
    std::uint64_t pair = ~std::uint64_t{0};
    double cost = 0;
  };
  double fixed_cost_of(Stop a, Stop b) const;
  bool is_always(Stop a, Stop b) const;
  void note_reach(int member, const ObjectSet& open_after);
  Known& memory(std::uint64_t pair) const;
  std::size_t port(Stop s) const {
    return first_port_[static_cast<std::size_t>(s.object)] + static_cast<std::size_t>(s.way);
  }
  std::uint64_t pair(Stop a, Stop b) const { return (std::uint64_t{port(a)} << 32) | port(b); }
  bool is_forbidden(Stop a, Stop b) const;

  const Links& links_;
  ObjectSet sewn_, later_;
  std::size_t n_ports_ = 0;
  std::vector<std::size_t> first_port_;  // by object, members only
  // Later visits cover connected parts of the cloth for good: numbered from 0.
  std::vector<int> part_of_;                    // by piece, -1: not of a later visit
  std::vector<std::vector<int>> parts_at_;      // by port: at its exit
  std::vector<std::vector<int>> parts_beside_;  // by port: touched by its own cloth at its entry
  // By port: from its exit, under all that may be open when it is left; -1: nothing.
  std::vector<int> ever_;
  std::vector<ObjectSet> reach_ever_, objects_ever_;  // of pieces, and of their objects
  std::vector<int> turned_;                           // by port
  std::vector<std::uint64_t> forbidden_;              // pairs of ports, sorted
  // Costs once found, by pair of ports: a table where all pairs fit, else the latest of each slot.
  mutable std::vector<Known> memory_;
  bool is_table_ = false;
};

}  // namespace buckram::sequence
