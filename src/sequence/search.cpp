#include "sequence/search.h"

#include "base/base.h"

#include <algorithm>
#include <cstdint>
#include <deque>

namespace buckram::sequence {
namespace {

constexpr double kWorth = -1e-6;  // a change that saves less is none
constexpr double kSame = 1e-6;    // costs of 1e6 mm, added up in any order, agree to this
constexpr int kLongestShift = 3;  // stops that move together
constexpr int kLongestTurn = 50;  // stops turned at once where that costs a look at each
constexpr int kLongestKick = 30;  // stops of each stretch that a kick swaps

std::size_t at(int i) {
  return static_cast<std::size_t>(i);
}

std::vector<int> members_of(const Chain& stops) {
  std::vector<int> members;
  for (const Stop& stop : stops) members.push_back(stop.object);
  return members;
}

// The best change found so far around one object.
struct Change {
  enum class Kind { none, shift, turn, way } kind = Kind::none;
  Shift shift;  // first and last also for a turn; first and way for a way
  double delta = kWorth;
};

class Search {
 public:
  Search(const Judge& judge, Chain start, const SearchOptions& options)
      : judge_(judge),
        tour_(judge, std::move(start)),
        options_(options),
        own_nearest_(options.nearest ? Nearest{} : nearest_of(judge, members_of(tour_.stops()))),
        nearest_(options.nearest ? *options.nearest : own_nearest_),
        random_(options.seed),
        is_waiting_(at(judge.precedence.size()), 0) {}

  Chain run() {
    for (const Stop& stop : tour_.stops()) wake(stop.object);
    settle();
    choose_ways(0, tour_.size() - 1);
    tour_.mark();
    const int n = tour_.size();
    double least = tour_.cost();
    std::int64_t n_idle = 0;  // kicks without gain
    while (n >= 4 && n_tries() < options_.most_tries && n_idle < std::int64_t{20} * n * n) {
      // The longer nothing is gained, the more is shaken at once.
      const int n_kicks = static_cast<int>(1 + n_idle / (4 * n) % 5);
      ++n_idle;
      bool is_kicked = false;
      for (int k = 0; k < n_kicks; ++k) is_kicked = kick() || is_kicked;
      if (!is_kicked) continue;
      settle();
      if (tour_.cost() < least + 2 * judge_.links.all().weights().trim) {
        constexpr int kBeside = 4;  // what a change calls for reaches no farther as a rule
        choose_ways(std::max(0, tour_.first_changed() - kBeside),
                    std::min(n - 1, tour_.last_changed() + kBeside));
      }
      if (tour_.cost() > least + kSame) {
        tour_.go_back();
        continue;
      }
      if (tour_.cost() < least + kWorth) n_idle = 0;
      least = std::min(least, tour_.cost());
      tour_.mark();
    }
    tour_.go_back();
    return tour_.stops();
  }

 private:
  void wake(int object) {
    if (is_waiting_[at(object)]) return;
    is_waiting_[at(object)] = 1;
    waiting_.push_back(object);
  }
  void wake_at(int p) {
    if (p >= 0 && p < tour_.size()) wake(tour_.stops()[at(p)].object);
  }

  // Local search until nothing that has changed can be bettered.
  void settle() {
    while (!waiting_.empty() && n_tries() < options_.most_tries) {
      if (++n_settled_ % 1024 == 0) judge_.watch.at("ordering", 0.5);
      const int object = waiting_.front();
      const Change change = best_change(object);
      if (change.kind == Change::Kind::none) {
        is_waiting_[at(object)] = 0;
        waiting_.pop_front();
      } else {
        apply(change);
      }
    }
    for (const int object : waiting_) is_waiting_[at(object)] = 0;
    waiting_.clear();
  }

  void apply(const Change& change) {
    const Shift& s = change.shift;
    const int low = std::min(s.first, s.behind + 1), high = std::max(s.last, s.behind);
    switch (change.kind) {
      case Change::Kind::shift:
        for (const int p : {s.first - 1, s.first, s.last, s.last + 1, s.behind, s.behind + 1}) {
          wake_at(p);
        }
        tour_.shift(s);
        wake_at(low - 1);
        wake_at(high + 1);
        break;
      case Change::Kind::turn:
        for (const int p : {s.first - 1, s.first, s.last, s.last + 1}) wake_at(p);
        tour_.turn(s.first, s.last);
        break;
      case Change::Kind::way:
        for (const int p : {s.first - 1, s.first, s.first + 1}) wake_at(p);
        tour_.set_way(s.first, s.way);
        break;
      default:
        break;
    }
  }

  Change best_change(int object) {
    Change best;
    const int p = tour_.place(object);
    try_ways(p, best);
    const double longest = std::max(tour_.into(p), tour_.into(p + 1));
    for (const int other : nearest_[at(object)]) {
      // Between points a gain needs one new link shorter than one that goes.
      if (tour_.is_plain()) {
        const Stop a = tour_.stops()[at(p)], b = tour_.stops()[at(tour_.place(other))];
        if (judge_.links.fixed_cost(a, b) >= longest) break;
      }
      try_shifts(p, tour_.place(other), best);
      try_turns(p, tour_.place(other), best);
    }
    try_ends(p, best);
    return best;
  }

  void try_ways(int p, Change& best) {
    const Stop stop = tour_.stops()[at(p)];
    const int n = judge_.links.all().n_ways(stop.object);
    for (int way = 0; n > 1 && way < n; ++way) {
      if (way == stop.way) continue;
      ++n_tries_;
      const double delta = tour_.way_delta(p, way);
      if (delta < best.delta) best = {Change::Kind::way, {p, p, p, false, way}, delta};
    }
  }

  void try_shift(const Shift& shift, Change& best) {
    if (shift.behind >= shift.first - 1 && shift.behind <= shift.last) return;
    ++n_tries_;
    const double delta = tour_.shift_delta(shift);
    if (delta < best.delta && tour_.may_shift(shift)) best = {Change::Kind::shift, shift, delta};
  }

  // Stretches that begin or end at p, to before and behind q, with p next to q.
  void try_shifts(int p, int q, Change& best) {
    for (int n = 1; n <= kLongestShift; ++n) {
      for (const bool is_head : {true, false}) {
        const int first = is_head ? p : p - n + 1, last = first + n - 1;
        if (first < 0 || last >= tour_.size() || (q >= first && q <= last)) continue;
        if (n == 1 && !is_head) continue;
        if (n == 1) {
          try_single(p, q, best);
          try_single(p, q - 1, best);
        } else {
          try_shift({first, last, q, !is_head, -1}, best);
          try_shift({first, last, q - 1, is_head, -1}, best);
        }
      }
    }
  }

  // One stop, by whichever way is best there.
  void try_single(int p, int behind, Change& best) {
    if (behind == p || behind == p - 1) return;
    const Stop stop = tour_.stops()[at(p)];
    for (int way = 0; way < judge_.links.all().n_ways(stop.object); ++way) {
      try_shift({p, p, behind, false, way}, best);
    }
  }

  void try_turn(int first, int last, Change& best) {
    if (first < 0 || last >= tour_.size() || first >= last) return;
    if (!tour_.is_plain() && last - first >= kLongestTurn) return;
    ++n_tries_;
    const double delta = tour_.turn_delta(first, last);
    if (delta < best.delta && tour_.may_turn(first, last)) {
      best = {Change::Kind::turn, {first, last, first - 1, false, -1}, delta};
    }
  }

  // Turns that bring p next to q.
  void try_turns(int p, int q, Change& best) {
    if (p < q) {
      try_turn(p + 1, q, best);
      try_turn(p, q - 1, best);
    } else {
      try_turn(q + 1, p, best);
      try_turn(q, p - 1, best);
    }
  }

  // A path has ends, and any stop may become one: cut there, with either part turned round or the
  // two swapped.
  void try_ends(int p, Change& best) {
    const int last = tour_.size() - 1;
    try_turn(0, p, best);
    try_turn(p, last, best);
    try_shift({0, p, last, false, -1}, best);
    if (tour_.is_plain()) return;
    try_single(p, -1, best);
    try_single(p, last, best);
  }

  // Swaps two neighbouring stretches, where precedence allows.
  bool kick() {
    const int n = tour_.size();
    const bool is_long = random_.below(50) == 0;  // what lies far apart is seldom mended nearby
    const int longest = std::clamp(n / 2, 1, is_long ? n : kLongestKick);
    for (int attempt = 0; attempt < 10; ++attempt) {
      ++n_tries_;
      const int first = random_.below(n - 1);
      const int last = first + random_.below(longest);
      const int behind = last + 1 + random_.below(longest);
      const Shift shift{first, last, behind, false, -1};
      if (behind >= n || !tour_.may_shift(shift)) continue;
      apply({Change::Kind::shift, shift, 0});
      return true;
    }
    return false;
  }

  void choose_ways(int first, int last) {
    if (tour_.is_plain() || last < first) return;
    n_tries_ += 2 * (last - first + 1);
    tour_.choose_ways(first, last);
  }

  // Changes judged; where much must be looked at for each, that counts as more of them.
  std::int64_t n_tries() const {
    constexpr std::int64_t kLooksATry = 256;
    return n_tries_ + (tour_.n_looks() - n_looks_before_) / kLooksATry;
  }

  const Judge& judge_;
  Tour tour_;
  SearchOptions options_;
  Nearest own_nearest_;  // where none is handed in
  const Nearest& nearest_;
  base::Random random_;
  std::deque<int> waiting_;
  std::vector<char> is_waiting_;
  std::int64_t n_tries_ = 0, n_looks_before_ = tour_.n_looks();
  int n_settled_ = 0;
};

}  // namespace

Chain improved(const Judge& judge, Chain start, const SearchOptions& options) {
  if (start.size() < 2) return start;
  return Search(judge, std::move(start), options).run();
}

}  // namespace buckram::sequence
