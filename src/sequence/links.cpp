#include "sequence/links.h"

#include <bit>
#include <cmath>

namespace buckram::sequence {
namespace {

constexpr double kReachMm = 0.5;  // as TravelOptions::open_end_mm

}  // namespace

Links::Links(const std::vector<digitise::Object>& objects, const CoverGrid& grid,
             const OrderOptions& options, const Weights& weights)
    : objects_(objects), options_(options), weights_(weights), neighbours_(grid.neighbours()) {
  for (std::size_t o = 0; o < objects.size(); ++o) {
    first_port_.push_back(near_entry_.size());
    for (const digitise::Way& way : objects[o].ways) {
      near_entry_.push_back(grid.near(way.entry, kReachMm));
      near_entry_.back().add(static_cast<int>(o));
      near_exit_.push_back(grid.near(way.exit, kReachMm));
    }
  }
}

LinkGuess Links::visible_link(geometry::Point from, geometry::Point to) const {
  const double mm = geometry::distance(from, to);
  if (mm <= options_.trim_mm) return {Link::step, mm, weights_.step + weights_.visible_mm * mm};
  const double clear_mm = options_.seam_clear_mm;
  const int n_at_seam = (std::abs(from.x) < clear_mm) + (std::abs(to.x) < clear_mm);
  return {Link::trim, mm,
          weights_.trim + weights_.visible_mm * mm + weights_.seam_trim * n_at_seam};
}

bool Links::is_hidden(const ObjectSet& from, const ObjectSet& to, const ObjectSet& sewn) const {
  ObjectSet reached = from;
  reached.take(sewn);
  ObjectSet goal = to;
  goal.take(sewn);
  ObjectSet looked(static_cast<int>(objects_.size()));
  while (!reached.meets(goal)) {
    bool grew = false;
    for (std::size_t k = 0; k < reached.words().size(); ++k) {
      std::uint64_t fresh = reached.words()[k] & ~looked.words()[k];
      for (; fresh != 0; fresh &= fresh - 1) {
        const int o = static_cast<int>(k) * 64 + std::countr_zero(fresh);
        looked.add(o);
        ObjectSet next = neighbours_[static_cast<std::size_t>(o)];
        next.take(sewn);
        reached.add(next);
        grew = true;
      }
    }
    if (!grew) return false;
  }
  return true;
}

LinkGuess Links::link(int a, int wa, int b, int wb, const ObjectSet& sewn) const {
  const geometry::Point from =
      objects_[static_cast<std::size_t>(a)].ways[static_cast<std::size_t>(wa)].exit;
  const geometry::Point to =
      objects_[static_cast<std::size_t>(b)].ways[static_cast<std::size_t>(wb)].entry;
  const bool hidden = is_hidden(near_exit_[port(a, wa)], near_entry_[port(b, wb)], sewn);
  if (!hidden) return visible_link(from, to);
  const double mm = geometry::distance(from, to);
  return {Link::hidden, mm, weights_.hidden_mm * mm};
}

bool Links::can_join(int a, int b) const {
  const ObjectSet none(static_cast<int>(objects_.size()));
  for (int wa = 0; wa < n_ways(a); ++wa) {
    for (int wb = 0; wb < n_ways(b); ++wb) {
      if (link(a, wa, b, wb, none).link != Link::trim) return true;
      if (link(b, wb, a, wa, none).link != Link::trim) return true;
    }
  }
  return false;
}

}  // namespace buckram::sequence
