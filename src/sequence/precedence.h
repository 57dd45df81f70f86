// What must be sewn before what.
//
// An object comes before every object of later paint order whose outline overlaps its own, and
// after those that its `after` list names. Neighbours always overlap by the underlap and by
// compensation, so the graph is dense where shapes touch; overlaps below the grid's noise and those
// already implied by others are left out.
//
// Of one thread and one region, an end that is tucked under the stroke it butts against may as well
// lie over it: a quarter of a millimetre of one colour on itself. Such ties are kept apart: what
// covers always stands, a tuck gives way where that saves more than it is worth (links.h, Weights).
#pragma once

#include "digitise/digitise.h"

#include <bit>
#include <cstdint>
#include <vector>

namespace buckram::sequence {

// A set of objects by index. As many words as the largest index needs.
class ObjectSet {
 public:
  explicit ObjectSet(int n = 0) : words_((static_cast<std::size_t>(n) + 63) / 64) {}
  void add(int i) { words_[word(i)] |= bit(i); }
  void remove(int i) { words_[word(i)] &= ~bit(i); }
  bool has(int i) const { return (words_[word(i)] & bit(i)) != 0; }
  int count() const;
  bool contains(const ObjectSet& other) const;  // every member of `other`
  bool meets(const ObjectSet& other) const;     // any
  void add(const ObjectSet& other);
  void take(const ObjectSet& other);  // takes the other's members away
  bool empty() const;
  // Calls visit(index) for every member, smallest first.
  template <typename Visit>
  void each(Visit visit) const {
    for (std::size_t k = 0; k < words_.size(); ++k) {
      for (std::uint64_t left = words_[k]; left != 0; left &= left - 1) {
        visit(static_cast<int>(k) * 64 + std::countr_zero(left));
      }
    }
  }
  const std::vector<std::uint64_t>& words() const { return words_; }
  friend bool operator==(const ObjectSet&, const ObjectSet&) = default;
  friend auto operator<=>(const ObjectSet&, const ObjectSet&) = default;

 private:
  static std::size_t word(int i) { return static_cast<std::size_t>(i) / 64; }
  static std::uint64_t bit(int i) { return std::uint64_t{1} << (i % 64); }
  std::vector<std::uint64_t> words_;
};

struct Precedence {
  std::vector<ObjectSet> all_before;     // closed: everything that comes before i, at any remove
  std::vector<std::vector<int>> before;  // direct, without those implied by others; sorted
  std::vector<std::vector<int>> after;   // the same arrows from their other end
  int n_dropped = 0;                     // arrows that would have closed a ring

  int size() const { return static_cast<int>(all_before.size()); }
};

struct Arrow {
  int from = 0, to = 0;
};

struct Precedences {
  Precedence covering;       // what lies under comes first: no order may do otherwise
  Precedence tidy;           // and every tucked end before the stroke that it is tucked under
  std::vector<Arrow> tucks;  // from such ends to their strokes, as far as `tidy` keeps them and
                             // `covering` does not imply them
};

// Acyclic whatever the input: arrows by paint order cannot close a ring, and an `after` that would
// close one is dropped, first those that cover, then tucks, in order of objects. O(n^2) boxes and,
// for those that meet and are not implied, one intersection each of outlines thinned to 0.05 mm.
Precedences precedences_of(const std::vector<digitise::Object>& objects);

// From arrows by index; those that would close a ring are dropped, in the order given.
Precedence precedence_of(int n, const std::vector<Arrow>& arrows);

}  // namespace buckram::sequence
