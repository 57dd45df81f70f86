#include "sequence/tour.h"

#include "base/base.h"

#include <algorithm>

namespace buckram::sequence {
namespace {

constexpr double kWorth = -1e-6;  // a change that saves less is none
constexpr int kLooksAnAsk = 32;   // for whether a link is hidden: sets are copied
constexpr int kLooksAPlace = 4;   // brought up to date

std::size_t at(int i) {
  return static_cast<std::size_t>(i);
}

}  // namespace

Tour::Tour(const Judge& judge, Chain stops)
    : judge_(&judge),
      stops_(std::move(stops)),
      place_(at(judge.precedence.size()), -1),
      fixed_(stops_.size(), 0),
      into_(stops_.size() + 1, 0),
      is_open_link_(stops_.size() + 1, 0),
      scratch_(judge.precedence.size()) {
  for (int p = 0; p < size(); ++p) place_[at(stop(p).object)] = p;
  for (const Stop& s : stops_) {
    for (const auto& pair : judge_->inward.pairs(s.object)) has_pairs_ |= place(pair.other) >= 0;
    for (const int o : judge_->precedence.after[at(s.object)]) has_arrows_ |= place(o) >= 0;
    for (int w = 0; w < judge_->links.all().n_ways(s.object); ++w) {
      has_cover_ |= judge_->links.may_hide({s.object, w});
    }
  }
  bool has_one_way = true;  // and ends where it begins: a point
  for (const Stop& s : stops_) {
    const Links& links = judge_->links.all();
    has_one_way &= links.n_ways(s.object) == 1 && links.entry(s) == links.exit(s);
  }
  is_plain_ = has_one_way && !has_pairs_ && !has_arrows_ && !has_cover_;
  if (has_cover_) open_.assign(stops_.size() + 1, judge_->links.later());
  for (int p = 0; p < size(); ++p) find_fixed(p);
  refresh(0, size() - 1);
  for (const Stop& s : stops_) {
    for (const auto& pair : judge_->inward.pairs(s.object)) {
      const int p = place(pair.other);
      if (p >= 0 && p < place(s.object)) inward_cost_ += pair.if_before;
    }
  }
  inward_cost_ *= judge_->links.all().weights().inward_mm;
  mark();
}

void Tour::mark() {
  if (marked_.size() != stops_.size()) {
    marked_ = stops_, marked_fixed_ = fixed_;
  } else if (first_changed_ <= last_changed_) {
    std::copy(stops_.begin() + first_changed_, stops_.begin() + last_changed_ + 1,
              marked_.begin() + first_changed_);
    // The link behind the stretch is another one too.
    std::copy(fixed_.begin() + first_changed_, fixed_.begin() + std::min(last_changed_ + 2, size()),
              marked_fixed_.begin() + first_changed_);
  }
  marked_links_cost_ = links_cost_, marked_inward_cost_ = inward_cost_;
  first_changed_ = size(), last_changed_ = -1;
}

void Tour::go_back() {
  const int first = first_changed_, last = last_changed_;
  if (last < first) return;
  std::copy(marked_.begin() + first, marked_.begin() + last + 1, stops_.begin() + first);
  std::copy(marked_fixed_.begin() + first, marked_fixed_.begin() + last + 1,
            fixed_.begin() + first);
  find_fixed(last + 1);
  refresh(first, last);
  links_cost_ = marked_links_cost_, inward_cost_ = marked_inward_cost_;
  first_changed_ = size(), last_changed_ = -1;
}

void Tour::find_fixed(int p) {
  if (p == 0) fixed_[0] = enter(stop(0));
  if (p > 0 && p < size()) fixed_[at(p)] = judge_->links.fixed_cost(stop(p - 1), stop(p));
}

// Link costs, cover and places of the stretch and of the link behind it, anew, from fixed_.
void Tour::refresh(int first, int last) {
  first_changed_ = std::min(first_changed_, first), last_changed_ = std::max(last_changed_, last);
  n_looks_ += kLooksAPlace * (last - first + 1);
  for (int p = last; has_cover_ && p >= first; --p) {
    open_[at(p)] = open_[at(p + 1)];
    open_[at(p)].add(stop(p).object);
  }
  for (int p = first; p <= last; ++p) place_[at(stop(p).object)] = p;
  for (int p = first; p <= std::min(last + 1, size() - 1); ++p) {
    links_cost_ -= into_[at(p)];
    into_[at(p)] = fixed_[at(p)];
    is_open_link_[at(p)] = 0;
    if (fixed_[at(p)] < 0) {
      const Links& links = judge_->links.all();
      const Stop a = stop(p - 1), b = stop(p);
      is_open_link_[at(p)] = links.is_hidden(a, b, open_[at(p)]);
      into_[at(p)] = is_open_link_[at(p)] ? links.hidden_cost(a, b)
                                          : links.visible_link(links.exit(a), links.entry(b)).cost;
    }
    links_cost_ += into_[at(p)];
  }
}

double Tour::enter(Stop b) const {
  return judge_->from ? judge_->links.all().first_cost(*judge_->from, b) : 0;
}

// The link from a to b when all before place p is sewn, `minus` too and `plus` not.
double Tour::link(Stop a, Stop b, int p, const ObjectSet* plus, const ObjectSet* minus) const {
  const double fixed = judge_->links.fixed_cost(a, b);
  if (fixed >= 0) return fixed;
  n_looks_ += kLooksAnAsk;
  scratch_ = open_[at(p)];
  if (plus) scratch_.add(*plus);
  if (minus) scratch_.take(*minus);
  return judge_->links.open_cost(a, b, scratch_);
}

ObjectSet Tour::set_of(int first, int last) const {
  ObjectSet set(judge_->precedence.size());
  for (int p = first; p <= last; ++p) set.add(stop(p).object);
  return set;
}

bool Tour::may_shift(const Shift& shift) const {
  if (!has_arrows_) return true;
  const bool is_later = shift.behind > shift.last;
  const int from = is_later ? shift.last + 1 : shift.behind + 1;
  const int to = is_later ? shift.behind : shift.first - 1;
  for (int p = shift.first; p <= shift.last; ++p) {
    const auto& arrows = is_later ? judge_->precedence.after[at(stop(p).object)]
                                  : judge_->precedence.before[at(stop(p).object)];
    for (const int o : arrows) {
      if (place(o) >= from && place(o) <= to) return false;
    }
  }
  return !shift.is_turned || may_turn(shift.first, shift.last);
}

bool Tour::may_turn(int first, int last) const {
  if (!has_arrows_) return true;
  for (int p = first; p < last; ++p) {
    for (const int o : judge_->precedence.after[at(stop(p).object)]) {
      if (place(o) > p && place(o) <= last) return false;
    }
  }
  return true;
}

// Inward cost when first..last change places with from..to.
double Tour::pairs_delta(int first, int last, int from, int to, bool moves_later) const {
  if (!has_pairs_) return 0;
  double sum = 0;
  for (int p = first; p <= last; ++p) {
    n_looks_ += std::ssize(judge_->inward.pairs(stop(p).object));
    for (const auto& pair : judge_->inward.pairs(stop(p).object)) {
      const int q = place(pair.other);
      if (q >= from && q <= to) sum += pair.if_before - pair.if_after;
    }
  }
  return judge_->links.all().weights().inward_mm * (moves_later ? sum : -sum);
}

double Tour::turned_pairs_delta(int first, int last) const {
  if (!has_pairs_) return 0;
  double sum = 0;
  for (int p = first; p <= last; ++p) {
    n_looks_ += std::ssize(judge_->inward.pairs(stop(p).object));
    for (const auto& pair : judge_->inward.pairs(stop(p).object)) {
      const int q = place(pair.other);
      if (q > p && q <= last) sum += pair.if_before - pair.if_after;
    }
  }
  return judge_->links.all().weights().inward_mm * sum;
}

// What links into first..last lose when `moved` is sewn before them.
double Tour::lost_cover(int first, int last, const ObjectSet& moved) const {
  double sum = 0;
  n_looks_ += last - first + 1;
  for (int p = first; p <= last; ++p) {
    if (!is_open_link_[at(p)]) continue;
    sum += link(stop(p - 1), stop(p), p, nullptr, &moved) - into_[at(p)];
  }
  return sum;
}

// The links within the shifted stretch.
double Tour::inner_delta(const Shift& s, const ObjectSet& moved) const {
  const bool is_later = s.behind > s.last;
  double sum = 0;
  ObjectSet left = moved;  // of the stretch, not sewn yet
  for (int k = 0; k < s.last - s.first; ++k) {
    const int p = s.is_turned ? s.last - k : s.first + k;
    if (has_cover_) left.remove(stop(p).object);
    if (!s.is_turned && (!is_later || !is_open_link_[at(p + 1)])) continue;
    const Stop a = s.is_turned ? turned(p) : stop(p);
    const Stop b = s.is_turned ? turned(p - 1) : stop(p + 1);
    const double cost = is_later ? link(a, b, s.behind + 1, &left, nullptr) : [&] {
      ObjectSet done = moved;
      done.take(left);
      return link(a, b, s.behind + 1, nullptr, &done);
    }();
    sum += cost - into_[at(s.is_turned ? p : p + 1)];
  }
  return sum;
}

double Tour::shift_delta(const Shift& s) const {
  const bool is_later = s.behind > s.last;
  const ObjectSet none(0);
  const bool is_same_place = s.behind == s.first - 1;
  if (is_same_place) return 0;
  const auto placed = [&](int p) {
    Stop moved = s.is_turned ? turned(p) : stop(p);
    if (s.way >= 0) moved.way = s.way;
    return moved;
  };
  const Stop head = placed(s.is_turned ? s.last : s.first);
  const Stop tail = placed(s.is_turned ? s.first : s.last);
  const int next = s.behind + 1;  // the stop that will follow the stretch
  const ObjectSet moved = has_cover_ ? set_of(s.first, s.last) : none;
  double delta = -into_[at(s.first)];
  // the gap that is left
  if (s.last + 1 < size()) {
    delta -= into_[at(s.last + 1)];
    const int p = is_later ? s.first : s.last + 1;
    delta += s.first > 0 ? link(stop(s.first - 1), stop(s.last + 1), p, nullptr, nullptr)
                         : enter(stop(s.last + 1));
  }
  // the gap that is filled
  if (next < size()) {
    delta -= into_[at(next)];
    delta += link(tail, stop(next), next, nullptr, is_later ? nullptr : &moved);
  }
  delta += s.behind >= 0 ? link(stop(s.behind), head, next, is_later ? &moved : nullptr, nullptr)
                         : enter(head);
  delta += is_later ? pairs_delta(s.first, s.last, s.last + 1, s.behind, true)
                    : pairs_delta(s.first, s.last, s.behind + 1, s.first - 1, false);
  if (s.is_turned) delta += turned_pairs_delta(s.first, s.last);
  if (is_plain_ || delta >= kWorth) return delta;
  if (s.last > s.first) delta += inner_delta(s, moved);
  if (has_cover_ && !is_later && delta < kWorth) {
    delta += lost_cover(s.behind + 2, s.first - 1, moved);
  }
  return delta;
}

double Tour::turn_delta(int first, int last) const {
  double delta = -into_[at(first)];
  delta += first > 0 ? link(stop(first - 1), turned(last), first, nullptr, nullptr)
                     : enter(turned(last));
  if (last + 1 < size()) {
    delta += link(turned(first), stop(last + 1), last + 1, nullptr, nullptr) - into_[at(last + 1)];
  }
  delta += turned_pairs_delta(first, last);
  if (is_plain_ || delta >= kWorth) return delta;
  ObjectSet left(0);
  if (has_cover_) left = set_of(first, last);
  for (int p = last; p > first; --p) {
    if (has_cover_) left.remove(stop(p).object);
    delta += link(turned(p), turned(p - 1), last + 1, &left, nullptr) - into_[at(p)];
  }
  return delta;
}

double Tour::way_delta(int p, int way) const {
  const Stop s{stop(p).object, way};
  double delta = (p > 0 ? link(stop(p - 1), s, p, nullptr, nullptr) : enter(s)) - into_[at(p)];
  if (p + 1 < size()) {
    delta += link(s, stop(p + 1), p + 1, nullptr, nullptr) - into_[at(p + 1)];
  }
  return delta;
}

void Tour::shift(const Shift& s) {
  const bool is_later = s.behind > s.last;
  inward_cost_ += is_later ? pairs_delta(s.first, s.last, s.last + 1, s.behind, true)
                           : pairs_delta(s.first, s.last, s.behind + 1, s.first - 1, false);
  if (s.is_turned) {
    inward_cost_ += turned_pairs_delta(s.first, s.last);
    for (int p = s.first; p <= s.last; ++p) stops_[at(p)] = turned(p);
    std::reverse(stops_.begin() + s.first, stops_.begin() + s.last + 1);
  }
  if (s.way >= 0) stops_[at(s.first)].way = s.way;
  const int first = is_later ? s.first : s.behind + 1, last = is_later ? s.behind : s.last;
  const int middle = is_later ? s.last + 1 : s.first;  // where the two stretches met
  std::rotate(stops_.begin() + first, stops_.begin() + middle, stops_.begin() + last + 1);
  std::rotate(fixed_.begin() + first, fixed_.begin() + middle, fixed_.begin() + last + 1);
  const int moved = is_later ? last - (s.last - s.first) : first;
  for (int p = moved; s.is_turned && p <= moved + s.last - s.first; ++p) find_fixed(p);
  for (const int p : {first, first + last + 1 - middle, last + 1}) find_fixed(p);
  refresh(first, last);
}

void Tour::turn(int first, int last) {
  inward_cost_ += turned_pairs_delta(first, last);
  for (int p = first; p <= last; ++p) stops_[at(p)] = turned(p);
  std::reverse(stops_.begin() + first, stops_.begin() + last + 1);
  for (int p = first; p <= last + 1; ++p) find_fixed(p);
  refresh(first, last);
}

void Tour::set_way(int p, int way) {
  stops_[at(p)].way = way;
  find_fixed(p), find_fixed(p + 1);
  refresh(p, p);
}

double Tour::link_at(Stop a, Stop b, int p) const {
  const double fixed = judge_->links.fixed_cost(a, b);
  return fixed >= 0 ? fixed : judge_->links.open_cost(a, b, open_[at(p)]);
}

void Tour::choose_ways(int first, int last) {
  struct Cell {
    double cost = 1e300;
    int before = 0;
  };
  const Links& links = judge_->links.all();
  std::vector<std::vector<Cell>> table;
  double least = 1e300, present = 0;
  int best = 0;
  for (int p = first; p <= last; ++p) {
    std::vector<Cell> row(at(links.n_ways(stop(p).object)));
    for (int way = 0; way < static_cast<int>(row.size()); ++way) {
      const Stop to{stop(p).object, way};
      Cell& cell = row[at(way)];
      if (p == first) cell.cost = p > 0 ? link_at(stop(p - 1), to, p) : enter(to);
      for (int w = 0; p > first && w < links.n_ways(stop(p - 1).object); ++w) {
        const double cost = table.back()[at(w)].cost + link_at({stop(p - 1).object, w}, to, p);
        if (cost < cell.cost) cell = {cost, w};
      }
    }
    present += into_[at(p)];
    table.push_back(std::move(row));
  }
  present += into_[at(last + 1)];
  for (int way = 0; way < links.n_ways(stop(last).object); ++way) {
    const Stop from{stop(last).object, way};
    const double leave = last + 1 < size() ? link_at(from, stop(last + 1), last + 1) : 0;
    const double cost = table.back()[at(way)].cost + leave;
    if (cost < least) least = cost, best = way;
  }
  if (least - present >= kWorth) return;
  for (int p = last; p >= first; --p) {
    stops_[at(p)].way = best;
    best = table[at(p - first)][at(best)].before;
  }
  for (int p = first; p <= last + 1; ++p) find_fixed(p);
  refresh(first, last);
}

}  // namespace buckram::sequence
