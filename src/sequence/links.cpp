#include "sequence/links.h"

#include <algorithm>
#include <bit>
#include <cmath>

namespace buckram::sequence {
namespace {

constexpr double kReachMm = 0.7;               // as TravelOptions::open_end_mm
constexpr double kLongestHiddenMm = 120;       // as TravelOptions::longest_mm
constexpr std::size_t kMostRemembered = 1024;  // ports of which all pairs are: 16 MB
constexpr std::size_t kMemorySize = std::size_t{1} << 20;

std::size_t at(int i) {
  return static_cast<std::size_t>(i);
}

std::uint64_t mask_of(const std::vector<int>& pieces) {
  std::uint64_t mask = 0;
  for (const int p : pieces) mask |= std::uint64_t{1} << p;
  return mask;
}

bool share_one(const std::vector<int>& a, const std::vector<int>& b) {
  for (std::size_t i = 0, j = 0; i < a.size() && j < b.size(); a[i] < b[j] ? ++i : ++j) {
    if (a[i] == b[j]) return true;
  }
  return false;
}

bool has_any(const ObjectSet& set, const std::vector<int>& list) {
  return std::any_of(list.begin(), list.end(), [&](int o) { return set.has(o); });
}

void sort_once(std::vector<int>& list) {
  std::sort(list.begin(), list.end());
  list.erase(std::unique(list.begin(), list.end()), list.end());
}

}  // namespace

LinkGuess visible_link(geometry::Point from, geometry::Point to, const OrderOptions& options,
                       const Weights& weights) {
  const double mm = geometry::distance(from, to);
  if (mm <= options.trim_mm) return {Link::step, mm, weights.step + weights.visible_mm * mm};
  const double clear_mm = options.seam_clear_mm;
  const int n_at_seam = (std::abs(from.x) < clear_mm) + (std::abs(to.x) < clear_mm);
  return {Link::trim, mm, weights.trim + weights.visible_mm * mm + weights.seam_trim * n_at_seam};
}

Links::Links(const std::vector<digitise::Object>& objects, const CoverGrid& grid,
             const OrderOptions& options, const Weights& weights)
    : objects_(objects),
      options_(options),
      weights_(weights),
      neighbours_(grid.neighbours()),
      seen_(neighbours_.size(), 0) {
  for (int p = 0; p < grid.n_pieces(); ++p) object_of_piece_.push_back(grid.object_of_piece(p));
  for (int o = 0; o < n_objects(); ++o) {
    first_port_.push_back(near_entry_.size());
    for (const digitise::Way& way : objects[at(o)].ways) {
      near_entry_.push_back(grid.pieces_near(way.entry, kReachMm, -1));
      near_exit_.push_back(grid.pieces_near(way.exit, kReachMm, o));
      at_exit_.push_back(grid.near(way.exit, kReachMm));
    }
  }
  if (n_pieces() > 64) return;
  for (const auto& list : neighbours_) neighbour_mask_.push_back(mask_of(list));
  for (const auto& list : near_entry_) near_entry_mask_.push_back(mask_of(list));
  for (const auto& list : near_exit_) near_exit_mask_.push_back(mask_of(list));
}

bool Links::is_beside(Stop a, Stop b) const {
  const std::vector<int>& list = at_exit(a);
  return std::binary_search(list.begin(), list.end(), b.object);
}

ObjectSet Links::spread(const std::vector<int>& from, const ObjectSet& open) const {
  ObjectSet reached(n_pieces());
  std::vector<int> fresh;
  const auto add = [&](int p) {
    if (!open.has(object_of_piece(p)) || reached.has(p)) return;
    reached.add(p);
    fresh.push_back(p);
  };
  for (const int p : from) add(p);
  while (!fresh.empty()) {
    const int p = fresh.back();
    fresh.pop_back();
    for (const int next : neighbours_[at(p)]) add(next);
  }
  return reached;
}

// From objects: the largest piece of each has its number.
std::uint64_t Links::open_pieces(std::uint64_t open) const {
  std::uint64_t pieces = open;
  for (int p = n_objects(); p < n_pieces(); ++p) {
    pieces |= (open >> object_of_piece(p) & 1) << p;
  }
  return pieces;
}

// Up to 64 pieces, as most designs have, need no memory: stopped where it meets `to`.
bool Links::reaches(std::uint64_t from, std::uint64_t to, std::uint64_t open) const {
  std::uint64_t reached = from, fresh = from;
  while (fresh != 0 && (reached & to) == 0) {
    std::uint64_t next = 0;
    for (; fresh != 0; fresh &= fresh - 1) {
      next |= neighbour_mask_[static_cast<std::size_t>(std::countr_zero(fresh))];
    }
    fresh = next & open & ~reached;
    reached |= fresh;
  }
  return (reached & to) != 0;
}

// The side with the smaller front takes the next step; done when the fronts meet or one is stuck.
bool Links::meet(const std::vector<int>& from, const std::vector<int>& to,
                 const ObjectSet& open) const {
  if (stamp_ > (1 << 30)) std::fill(seen_.begin(), seen_.end(), 0), stamp_ = 0;
  stamp_ += 2;  // of `from`; one more of `to`
  std::vector<int> fronts[2];
  const auto add = [&](int side, int o, std::vector<int>& front) {
    if (!open.has(object_of_piece(o)) || seen_[at(o)] == stamp_ + side) return false;
    if (seen_[at(o)] == stamp_ + 1 - side) return true;
    seen_[at(o)] = stamp_ + side;
    front.push_back(o);
    return false;
  };
  for (const int o : from) add(0, o, fronts[0]);
  if (fronts[0].empty()) return false;
  for (const int o : to) {
    if (add(1, o, fronts[1])) return true;
  }
  std::vector<int> next;
  while (!fronts[0].empty() && !fronts[1].empty()) {
    const int side = fronts[1].size() < fronts[0].size() ? 1 : 0;
    next.clear();
    for (const int o : fronts[side]) {
      n_looks_ += static_cast<std::int64_t>(neighbours_[at(o)].size()) + 1;
      for (const int beside : neighbours_[at(o)]) {
        if (add(side, beside, next)) return true;
      }
    }
    std::swap(fronts[side], next);
  }
  return false;
}

bool Links::is_hidden(Stop a, Stop b, const ObjectSet& open) const {
  if (geometry::distance(exit(a), entry(b)) > kLongestHiddenMm) return false;
  if (is_beside(a, b)) return true;
  if (neighbour_mask_.empty()) return meet(near_exit(a), near_entry(b), open);
  const std::uint64_t cover = open_pieces(open.words()[0]);
  return reaches(near_exit_mask_[port(a)] & cover, near_entry_mask_[port(b)] & cover, cover);
}

VisitLinks::VisitLinks(const Links& links, const Precedence& precedence,
                       const std::vector<int>& members, const ObjectSet& sewn)
    : links_(links),
      sewn_(sewn),
      later_(links.n_objects()),
      first_port_(at(links.n_objects()), 0),
      part_of_(at(links.n_pieces()), -1) {
  ObjectSet in_visit(links.n_objects());
  for (const int m : members) in_visit.add(m);
  for (int o = 0; o < links.n_objects(); ++o) {
    if (!sewn.has(o) && !in_visit.has(o)) later_.add(o);
  }
  int n_parts = 0;
  for (int p = 0; p < links.n_pieces(); ++p) {
    if (part_of_[at(p)] >= 0 || !later_.has(links.object_of_piece(p))) continue;
    links.spread({p}, later_).each([&](int reached) { part_of_[at(reached)] = n_parts; });
    ++n_parts;
  }
  ObjectSet open_after = later_;
  open_after.add(in_visit);
  const ObjectSet open = open_after;
  for (const int m : members) {
    open_after.remove(m);
    open_after.take(precedence.all_before[at(m)]);
    note_reach(m, open_after);
    open_after = open;
  }
  is_table_ = n_ports_ <= kMostRemembered;
  memory_.resize(is_table_ ? n_ports_ * n_ports_ : kMemorySize);
}

void VisitLinks::note_reach(int member, const ObjectSet& open_after) {
  const auto parts_among = [&](const std::vector<int>& pieces) {
    std::vector<int> parts;
    for (const int p : pieces) {
      if (part_of_[at(p)] >= 0) parts.push_back(part_of_[at(p)]);
    }
    sort_once(parts);
    return parts;
  };
  first_port_[at(member)] = n_ports_;
  for (int w = 0; w < links_.n_ways(member); ++w, ++n_ports_) {
    const std::vector<int>& exit = links_.near_exit({member, w});
    parts_at_.push_back(parts_among(exit));
    parts_beside_.emplace_back();
    for (const int p : links_.near_entry({member, w})) {
      if (links_.object_of_piece(p) != member) continue;
      const std::vector<int> beside = parts_among(links_.neighbours(p));
      parts_beside_.back().insert(parts_beside_.back().end(), beside.begin(), beside.end());
    }
    sort_once(parts_beside_.back());
    ever_.push_back(-1);
    const std::vector<int>& at_exit = links_.at_exit({member, w});
    const bool is_as_before = w > 0 && exit == links_.near_exit({member, w - 1}) &&
                              at_exit == links_.at_exit({member, w - 1});
    if (is_as_before) {
      ever_.back() = ever_[ever_.size() - 2];
    } else if (has_any(open_after, at_exit)) {
      ever_.back() = static_cast<int>(reach_ever_.size());
      reach_ever_.push_back(links_.spread(exit, open_after));
      objects_ever_.emplace_back(links_.n_objects());
      reach_ever_.back().each([&](int p) { objects_ever_.back().add(links_.object_of_piece(p)); });
    }
    int best = w;
    double best_mm = 1e300;
    for (int v = 0; v < links_.n_ways(member); ++v) {
      const double mm = geometry::distance(links_.entry({member, v}), links_.exit({member, w})) +
                        geometry::distance(links_.exit({member, v}), links_.entry({member, w}));
      if (mm < best_mm) best_mm = mm, best = v;
    }
    turned_.push_back(best);
  }
}

VisitLinks::Cover VisitLinks::cover(Stop a, Stop b) const {
  const int ever = ever_[port(a)];
  if (ever < 0) return Cover::never;
  if (geometry::distance(links_.exit(a), links_.entry(b)) > kLongestHiddenMm) return Cover::never;
  if (is_forbidden(a, b)) return Cover::never;
  if (links_.is_beside(a, b)) return Cover::always;
  if (!has_any(reach_ever_[at(ever)], links_.near_entry(b))) return Cover::never;
  return is_always(a, b) ? Cover::always : Cover::sometimes;
}

// Under later visits alone, or under b itself, which is open whenever it is gone to.
bool VisitLinks::is_always(Stop a, Stop b) const {
  const std::vector<int>& parts = parts_at_[port(a)];
  if (parts.empty()) return false;
  const std::vector<int>& entry = links_.near_entry(b);
  return share_one(parts, parts_beside_[port(b)]) ||
         std::any_of(entry.begin(), entry.end(), [&](int p) {
           return std::binary_search(parts.begin(), parts.end(), part_of_[at(p)]);
         });
}

bool VisitLinks::may_lie_over(const ObjectSet& objects, Stop s) const {
  const int ever = ever_[port(s)];
  return ever >= 0 && objects_ever_[at(ever)].meets(objects);
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

VisitLinks::Known& VisitLinks::memory(std::uint64_t pair) const {
  if (is_table_) return memory_[(pair >> 32) * n_ports_ + (pair & 0xffffffffU)];
  return memory_[(pair * 0x9e3779b97f4a7c15U) >> 44];  // the top 20 bits
}

double VisitLinks::fixed_cost(Stop a, Stop b) const {
  const std::uint64_t key = pair(a, b);
  Known& known = memory(key);
  if (known.pair != key) known = {key, fixed_cost_of(a, b)};
  return known.cost;
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
  const std::uint64_t key = pair(a, b);
  const auto place = std::lower_bound(forbidden_.begin(), forbidden_.end(), key);
  if (place == forbidden_.end() || *place != key) forbidden_.insert(place, key);
  memory(key) = {};
}

bool VisitLinks::is_forbidden(Stop a, Stop b) const {
  return std::binary_search(forbidden_.begin(), forbidden_.end(), pair(a, b));
}

}  // namespace buckram::sequence
