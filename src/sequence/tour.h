// A visit's order under search: what it costs, and what a change of it would cost.
//
// A change is judged by the links at its ends, by the order among near objects that it turns round
// (inward.h), and by the hidden links whose cover it takes away; links whose cover it adds to are
// left as they are, so a judgement is never better than the truth and the search never walks uphill
// by mistake. The whole tour is kept consistent after each change that is made.
#pragma once

#include "sequence/inward.h"
#include "sequence/links.h"
#include "sequence/precedence.h"

#include <cstdint>
#include <optional>
#include <vector>

namespace buckram::sequence {

using Chain = std::vector<Stop>;

// Everything a visit's order is judged by.
struct Judge {
  const Precedence& precedence;
  const VisitLinks& links;
  const Inward& inward;
  std::optional<geometry::Point> from;  // where the needle stands before the first; none: anywhere
  base::Watch watch = {};               // looked at by whatever takes long
};

// Stops first..last leave their place and go behind the stop at `behind` (-1: to the front), which
// is not one of them. `way` is for a single stop, -1: its own.
struct Shift {
  int first = 0, last = 0;
  int behind = 0;
  bool is_turned = false;
  int way = -1;
};

class Tour {
 public:
  Tour(const Judge& judge, Chain stops);

  const Judge& judge() const { return *judge_; }
  const Chain& stops() const { return stops_; }
  int size() const { return static_cast<int>(stops_.size()); }
  int place(int object) const { return place_[static_cast<std::size_t>(object)]; }  // -1: elsewhere
  double cost() const { return links_cost_ + inward_cost_; }
  // Cost of the link into the stop at `p`, from the start for the first; 0 behind the last.
  double into(int p) const { return into_[static_cast<std::size_t>(p)]; }
  // Neither cover nor inward cost nor precedence matters: only the ends of a change do.
  bool is_plain() const { return is_plain_; }

  // What judging and changing took so far, in looks of about a nanosecond: for budgets.
  std::int64_t n_looks() const { return n_looks_ + judge_->links.all().n_looks(); }

  // Whether precedence allows it. O(arrows of the shorter part).
  bool may_shift(const Shift& shift) const;
  bool may_turn(int first, int last) const;

  // What the change would add to the cost, at most; anything >= 0 where that is clear early.
  double shift_delta(const Shift& shift) const;
  double turn_delta(int first, int last) const;  // the stretch is sewn the other way round
  double way_delta(int p, int way) const;

  void shift(const Shift& shift);
  void turn(int first, int last);
  void set_way(int p, int way);
  // The cheapest ways for the stops first..last in their order, the others kept, where they save
  // anything. Dynamic programme, O((last - first) w^2) links.
  void choose_ways(int first, int last);

  // The order as it stands is the one that go_back() returns to. Both cost as much as has changed
  // since the last of either.
  void mark();
  void go_back();
  // Places that have changed since; none when last < first.
  int first_changed() const { return first_changed_; }
  int last_changed() const { return last_changed_; }

 private:
  double link(Stop a, Stop b, int p, const ObjectSet* plus, const ObjectSet* minus) const;
  double enter(Stop b) const;
  double lost_cover(int first, int last, const ObjectSet& moved) const;
  double pairs_delta(int first, int last, int from, int to, bool moves_later) const;
  double turned_pairs_delta(int first, int last) const;
  double inner_delta(const Shift& shift, const ObjectSet& moved) const;
  void refresh(int first, int last);
  void find_fixed(int p);
  double link_at(Stop a, Stop b, int p) const;
  ObjectSet set_of(int first, int last) const;
  Stop stop(int p) const { return stops_[static_cast<std::size_t>(p)]; }
  Stop turned(int p) const { return {stop(p).object, judge_->links.turned(stop(p))}; }

  const Judge* judge_;  // outlives the tour
  Chain stops_;
  std::vector<int> place_;          // by object
  std::vector<double> fixed_;       // by place: of the link into it, as VisitLinks::fixed_cost
  std::vector<double> into_;        // by place, one more at the end
  std::vector<char> is_open_link_;  // by place: hidden only by what this visit sews later
  std::vector<ObjectSet> open_;     // by place: what is not sewn before it, itself included
  mutable ObjectSet scratch_;
  Chain marked_;
  std::vector<double> marked_fixed_;
  double marked_links_cost_ = 0, marked_inward_cost_ = 0;
  int first_changed_ = 0, last_changed_ = -1;
  mutable std::int64_t n_looks_ = 0;
  double links_cost_ = 0, inward_cost_ = 0;
  bool has_pairs_ = false, has_arrows_ = false, has_cover_ = false, is_plain_ = false;
};

}  // namespace buckram::sequence
