#include "sequence/links.h"

#include <algorithm>
#include <bit>
#include <cmath>

namespace buckram::sequence {
namespace {

constexpr double kReachMm = 0.7;               // as TravelOptions::open_end_mm
constexpr double kLongestHiddenMm = 60;        // as TravelOptions::longest_mm
constexpr std::size_t kMostRemembered = 1600;  // ports: 20 MB

std::size_t at(int i) {
  return static_cast<std::size_t>(i);
}

}  // namespace

Links::Links(const std::vector<digitise::Object>& objects, const CoverGrid& grid,
             const OrderOptions& options, const Weights& weights)
    : objects_(objects), options_(options), weights_(weights), neighbours_(grid.neighbours()) {
  for (int o = 0; o < n_objects(); ++o) {
    first_port_.push_back(near_entry_.size());
    for (const digitise::Way& way : objects[at(o)].ways) {
      near_entry_.push_back(grid.near(way.entry, kReachMm));
      near_entry_.back().add(o);
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

ObjectSet Links::spread(const ObjectSet& from, const ObjectSet& open) const {
  ObjectSet reached = from;
  reached.keep(open);
  ObjectSet fresh = reached;
  while (!fresh.empty()) {
    ObjectSet next(n_objects());
    for (std::size_t k = 0; k < fresh.words().size(); ++k) {
      for (std::uint64_t left = fresh.words()[k]; left != 0; left &= left - 1) {
        next.add(neighbours_[k * 64 + static_cast<std::size_t>(std::countr_zero(left))]);
      }
    }
    next.keep(open);
    next.take(reached);
    reached.add(next);
    fresh = std::move(next);
  }
  return reached;
}

// As spread(), stopped where it meets `to`: up to 64 objects, as most designs have, need no memory.
bool Links::reaches(std::uint64_t from, std::uint64_t to, std::uint64_t open) const {
  std::uint64_t reached = from, fresh = from;
  while (fresh != 0 && (reached & to) == 0) {
    std::uint64_t next = 0;
    for (; fresh != 0; fresh &= fresh - 1) {
      next |= neighbours_[static_cast<std::size_t>(std::countr_zero(fresh))].words()[0];
    }
    fresh = next & open & ~reached;
    reached |= fresh;
  }
  return (reached & to) != 0;
}

bool Links::is_hidden(Stop a, Stop b, const ObjectSet& open) const {
  if (geometry::distance(exit(a), entry(b)) > kLongestHiddenMm) return false;
  if (open.words().size() == 1) {
    const std::uint64_t cover = open.words()[0];
    return reaches(near_exit(a).words()[0] & cover, near_entry(b).words()[0] & cover, cover);
  }
  ObjectSet from = near_exit(a);
  from.keep(open);
  if (from.empty()) return false;
  ObjectSet to = near_entry(b);
  to.keep(open);
  return from.meets(to) || spread(from, open).meets(to);
}

VisitLinks::VisitLinks(const Links& links, const Precedence& precedence,
                       const std::vector<int>& members, const ObjectSet& sewn)
    : links_(links), sewn_(sewn), later_(links.n_objects()), first_port_(at(links.n_objects()), 0) {
  ObjectSet in_visit(links.n_objects());
  for (const int m : members) in_visit.add(m);
  for (int o = 0; o < links.n_objects(); ++o) {
    if (!sewn.has(o) && !in_visit.has(o)) later_.add(o);
  }
  ObjectSet open = later_;
  open.add(in_visit);
  for (const int m : members) {
    first_port_[at(m)] = n_ports_;
    ObjectSet open_after = open;
    open_after.remove(m);
    open_after.take(precedence.all_before[at(m)]);
    for (int w = 0; w < links.n_ways(m); ++w, ++n_ports_) {
      reach_always_.push_back(links.spread(links.near_exit({m, w}), later_));
      reach_ever_.push_back(links.spread(links.near_exit({m, w}), open_after));
      int best = w;
      double best_mm = 1e300;
      for (int v = 0; v < links.n_ways(m); ++v) {
        const double mm = geometry::distance(links.entry({m, v}), links.exit({m, w})) +
                          geometry::distance(links.exit({m, v}), links.entry({m, w}));
        if (mm < best_mm) best_mm = mm, best = v;
      }
      turned_.push_back(best);
    }
  }
  if (n_ports_ <= kMostRemembered) memory_.assign(n_ports_ * n_ports_, kUnknown);
}

VisitLinks::Cover VisitLinks::cover(Stop a, Stop b) const {
  const ObjectSet& ever = reach_ever_[port(a)];
  if (ever.empty()) return Cover::never;
  if (geometry::distance(links_.exit(a), links_.entry(b)) > kLongestHiddenMm) return Cover::never;
  if (is_forbidden(a, b)) return Cover::never;
  if (!ever.meets(links_.near_entry(b))) return Cover::never;
  // b itself is open whenever it is gone to.
  const ObjectSet& always = reach_always_[port(a)];
  const bool is_certain = links_.near_exit(a).has(b.object) || always.meets(links_.near_entry(b)) ||
                          always.meets(links_.neighbours(b.object));
  return is_certain ? Cover::always : Cover::sometimes;
}

double VisitLinks::fixed_cost_of(Stop a, Stop b) const {
  switch (cover(a, b)) {
    case Cover::never:
      return links_.visible_link(links_.exit(a), links_.entry(b)).cost;
    case Cover::always:
      return links_.hidden_cost(a, b);
    default:
      return -1;
  }
}

bool VisitLinks::is_hidden(Stop a, Stop b, const ObjectSet& open) const {
  const Cover c = cover(a, b);
  return c == Cover::always || (c == Cover::sometimes && links_.is_hidden(a, b, open));
}

double VisitLinks::open_cost(Stop a, Stop b, const ObjectSet& open) const {
  if (links_.is_hidden(a, b, open)) return links_.hidden_cost(a, b);
  return links_.visible_link(links_.exit(a), links_.entry(b)).cost;
}

void VisitLinks::forbid(Stop a, Stop b) {
  const std::uint64_t pair = (std::uint64_t{port(a)} << 32) | port(b);
  const auto place = std::lower_bound(forbidden_.begin(), forbidden_.end(), pair);
  if (place == forbidden_.end() || *place != pair) forbidden_.insert(place, pair);
  if (!memory_.empty()) memory_[port(a) * n_ports_ + port(b)] = kUnknown;
}

bool VisitLinks::is_forbidden(Stop a, Stop b) const {
  const std::uint64_t pair = (std::uint64_t{port(a)} << 32) | port(b);
  return std::binary_search(forbidden_.begin(), forbidden_.end(), pair);
}

}  // namespace buckram::sequence
