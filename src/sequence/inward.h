// What it costs to sew inwards: the mechanical side of the order.
//
// Stitching draws cloth together, and what it draws comes from where the cloth is still free. An
// object sewn while its outer side is already fastened has nowhere to take cloth from but the gap
// between: it gathers there. Outwards on a cap is away from the centre line and up from the bill,
// which holds the edge from the start. The measure is local, because gathering is: only what is
// sewn within `kFlankMm` on the outer side of an object counts, the nearer the more, so that a
// border costs what it encloses and a letter the one beside it, but nothing at the other end of the
// design. Farthest-so-far measures were tried and rejected: one high object makes all that follows
// equally dear, and the order of the rest is then left to chance.
#pragma once

#include "sequence/cover_grid.h"
#include "sequence/sequence.h"

#include <vector>

namespace buckram::sequence {

// What it costs to sew one object after another, by the other's index, ascending; what is not
// listed costs nothing.
struct AfterCost {
  int sewn = 0;
  double mm = 0;
};
using AfterCosts = std::vector<std::vector<AfterCost>>;  // by the object sewn next

class Inward {
 public:
  // Two objects whose order among each other matters.
  struct Pair {
    int other = 0;
    double if_before = 0;  // cost when the other is sewn before this one
    double if_after = 0;   // cost when this one is sewn before the other
  };

  // Costs by `asked`, or by flank_costs() and habit_costs() where it is empty. O(n^2) calls of
  // `asked`. Looks at `watch` while it works.
  Inward(const std::vector<digitise::Object>& objects, const CoverGrid& grid,
         const InwardCost& asked, const base::Watch& watch = {});
  // Nothing matters.
  explicit Inward(int n) : pairs_(static_cast<std::size_t>(n)), stray_mm_(pairs_.size(), 0) {}

  const std::vector<Pair>& pairs(int object) const {
    return pairs_[static_cast<std::size_t>(object)];
  }
  // From now on each pair of `arrows` costs nothing but `mm`, and that when `to` is sewn before
  // `from`: the two touch, so that there is no cloth between them to gather.
  void settle(const std::vector<Arrow>& arrows, double mm);

  // Of sewing `object` with `sewn` on the cloth: the sum over what is sewn.
  double cost(int object, const ObjectSet& sewn) const;
  // How far out the object lies on the whole: the mean of |x| + y over its cloth, mm.
  double stray_mm(int object) const { return stray_mm_[static_cast<std::size_t>(object)]; }

 private:
  void add_pairs(const AfterCosts& costs);
  std::vector<std::vector<Pair>> pairs_;
  std::vector<double> stray_mm_;
};

// The default. From places spread over `next`, lines are drawn outwards (up, to the side away from
// the centre line, and between the two; on the centre line to both sides). Where one meets `sewn`
// within kFlankMm the place costs what is left of the reach, by the shortest of its lines; the cost
// is the mean over all places. 0 where nothing of `sewn` lies on the outer side; at most kFlankMm.
// O(n x places x reach).
inline constexpr double kFlankMm = 16;  // estimate: about the width of cloth that one object draws
AfterCosts flank_costs(const CoverGrid& grid, int n_objects, const base::Watch& watch = {});

// What a hand does besides (common practice, no source): grounds before the details near them,
// borders after what they enclose, and nothing low after something that lies wholly higher; of
// that, above 400 objects, only the 24 nearest beside are taken. Small against a trim, so that they
// decide between orders that cost no more trims. O(n^2) boxes.
AfterCosts habit_costs(const std::vector<digitise::Object>& objects);

}  // namespace buckram::sequence
