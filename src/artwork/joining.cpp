#include "artwork/joining.h"

#include <algorithm>
#include <numeric>

namespace buckram::artwork {
namespace {

using geometry::Polygons;

// Outlines nearer than this were meant to meet.
constexpr double kMeetMm = 0.02;

enum class Contact { apart, abutting, overlapping };

class Joiner {
 public:
  Joiner(const std::vector<Painted>& painted, const std::vector<int>& thread)
      : painted_(painted),
        thread_(thread),
        parent_(painted.size()),
        blocker_(painted.size(), -1),
        abuts_(painted.size(), false) {
    std::iota(parent_.begin(), parent_.end(), 0U);
  }

  std::vector<Joined> run() {
    for (std::size_t b = 0; b < painted_.size(); ++b)
      if (thread_[b] >= 0) join_backwards(b);
    std::vector<int> group(painted_.size(), -1);
    std::vector<Joined> groups;
    for (std::size_t i = 0; i < painted_.size(); ++i) {
      if (thread_[i] < 0) continue;
      const std::size_t first = root(i);  // the earliest member
      if (group[first] < 0) {
        group[first] = static_cast<int>(groups.size());
        groups.emplace_back();
      }
      Joined& joined = groups[static_cast<std::size_t>(group[first])];
      joined.members.push_back(static_cast<int>(i));
      joined.is_abutting = joined.is_abutting || abuts_[i];
    }
    return groups;
  }

 private:
  // The latest shape of another thread that lies under b, -1 for none: b may not be painted before.
  int blocker_of(std::size_t b) const {
    for (std::size_t a = b; a-- > 0;) {
      if (thread_[a] < 0 || thread_[a] == thread_[b]) continue;
      if (!painted_[a].box.meets(painted_[b].box, kMeetMm)) continue;
      if (!geometry::intersect(painted_[a].area, painted_[b].area).empty())
        return static_cast<int>(a);
    }
    return -1;
  }

  void join_backwards(std::size_t b) {
    blocker_[b] = blocker_of(b);
    for (std::size_t a = b; a-- > 0 && static_cast<int>(a) > blocker_[b];) {
      if (thread_[a] != thread_[b] || !may_unite(a, b)) continue;
      const bool is_same_source = painted_[a].source == painted_[b].source;
      const Contact contact = contact_of(a, b);
      if (contact == Contact::apart && !is_same_source) continue;
      if (contact == Contact::abutting) abuts_[b] = true;
      unite(a, b);
    }
  }

  // The later of the two groups moves to the place of the earlier one's first member.
  bool may_unite(std::size_t a, std::size_t b) const {
    const std::size_t p = root(a), q = root(b);
    return p != q && blocker_[std::max(p, q)] < static_cast<int>(std::min(p, q));
  }

  Contact contact_of(std::size_t a, std::size_t b) const {
    if (!painted_[a].box.meets(painted_[b].box, kMeetMm)) return Contact::apart;
    const Polygons both = geometry::intersect(painted_[a].area, painted_[b].area);
    if (geometry::area(both) > kMeetMm * kMeetMm) return Contact::overlapping;
    const Polygons grown = geometry::offset(painted_[b].area, kMeetMm, geometry::Join::miter);
    const Polygons reached = geometry::intersect(painted_[a].area, grown);
    return geometry::area(reached) > kMeetMm * kMeetMm ? Contact::abutting : Contact::apart;
  }

  std::size_t root(std::size_t i) const {
    while (parent_[i] != i) i = parent_[i];
    return i;
  }
  void unite(std::size_t a, std::size_t b) {
    const std::size_t p = root(a), q = root(b);
    const std::size_t first = std::min(p, q), other = std::max(p, q);
    parent_[other] = first;
    blocker_[first] = std::max(blocker_[first], blocker_[other]);
  }

  const std::vector<Painted>& painted_;
  const std::vector<int>& thread_;
  std::vector<std::size_t> parent_;
  std::vector<int> blocker_;  // of a root: the latest that any member may not be painted before
  std::vector<bool> abuts_;
};

}  // namespace

std::vector<Joined> join_shapes(const std::vector<Painted>& painted,
                                const std::vector<int>& thread) {
  return Joiner(painted, thread).run();
}

}  // namespace buckram::artwork
