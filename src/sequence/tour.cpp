#include "sequence/tour.h"

#include "base/base.h"

#include <algorithm>

namespace buckram::sequence {
namespace {

constexpr double kWorth = -1e-9;  // a change that saves less is none

std::size_t at(int i) {
  return static_cast<std::size_t>(i);
}

}  // namespace

Tour::Tour(const Judge& judge, Chain stops)
    : judge_(&judge),
      stops_(std::move(stops)),
      place_(at(judge.precedence.size()), -1),
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
  refresh(0, size() - 1);
  for (const Stop& s : stops_) {
    for (const auto& pair : judge_->inward.pairs(s.object)) {
      const int p = place(pair.other);
      if (p >= 0 && p < place(s.object)) inward_cost_ += pair.if_before;
    }
  }
  inward_cost_ *= judge_->links.all().weights().inward_mm;
}

// Link costs, cover and places of the stretch and of the link behind it, anew.
void Tour::refresh(int first, int last) {
  for (int p = last; has_cover_ && p >= first; --p) {
    open_[at(p)] = open_[at(p + 1)];
    open_[at(p)].add(stop(p).object);
  }
  for (int p = first; p <= last; ++p) place_[at(stop(p).object)] = p;
  for (int p = first; p <= std::min(last + 1, size() - 1); ++p) {
    links_cost_ -= into_[at(p)];
    is_open_link_[at(p)] = 0;
    if (p == 0) {
      into_[0] = enter(stop(0));
    } else {
      into_[at(p)] = link(stop(p - 1), stop(p), p, nullptr, nullptr);
      is_open_link_[at(p)] = has_cover_ && judge_->links.fixed_cost(stop(p - 1), stop(p)) < 0 &&
                             judge_->links.all().is_hidden(stop(p - 1), stop(p), open_[at(p)]);
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
  if (is_later) {
    std::rotate(stops_.begin() + s.first, stops_.begin() + s.last + 1,
                stops_.begin() + s.behind + 1);
    refresh(s.first, s.behind);
  } else {
    std::rotate(stops_.begin() + s.behind + 1, stops_.begin() + s.first,
                stops_.begin() + s.last + 1);
    refresh(s.behind + 1, s.last);
  }
}

void Tour::turn(int first, int last) {
  inward_cost_ += turned_pairs_delta(first, last);
  for (int p = first; p <= last; ++p) stops_[at(p)] = turned(p);
  std::reverse(stops_.begin() + first, stops_.begin() + last + 1);
  refresh(first, last);
}

void Tour::set_way(int p, int way) {
  stops_[at(p)].way = way;
  refresh(p, p);
}

void Tour::set_stops(Chain stops) {
  *this = Tour(*judge_, std::move(stops));
}

}  // namespace buckram::sequence
