// Chains without moving things about: greedy, by dynamic programme over ways, and exact.
#include "base/base.h"
#include "sequence/end_grid.h"
#include "sequence/search.h"

#include <algorithm>
#include <limits>
#include <optional>

namespace buckram::sequence {
namespace {

constexpr double kInfinite = std::numeric_limits<double>::infinity();

std::size_t at(int i) {
  return static_cast<std::size_t>(i);
}

// Cost of going to `to` while `open` is not sewn yet.
double arrive(const Judge& judge, const Stop* from, Stop to, const ObjectSet& open) {
  const Links& links = judge.links.all();
  if (from == nullptr) return judge.from ? links.first_cost(*judge.from, to) : 0;
  const double fixed = judge.links.fixed_cost(*from, to);
  return fixed >= 0 ? fixed : judge.links.open_cost(*from, to, open);
}

ObjectSet open_at_start(const Judge& judge, const std::vector<int>& members) {
  ObjectSet open = judge.links.later();
  for (const int m : members) open.add(m);
  return open;
}

double inward_cost(const Judge& judge, int object, const ObjectSet& sewn) {
  return judge.links.all().weights().inward_mm * judge.inward.cost(object, sewn);
}

// Best ways to have sewn a set of members, by the last stop.
struct Cell {
  double cost = kInfinite;
  int before = -1;  // cell of the set without the last member
};

class ExactChain {
 public:
  ExactChain(const Judge& judge, const std::vector<int>& members)
      : judge_(judge), members_(members) {
    for (int m = 0; m < n(); ++m) {
      for (int w = 0; w < judge.links.all().n_ways(members[at(m)]); ++w) {
        stops_.push_back({members[at(m)], w});
        member_.push_back(m);
      }
    }
    table_.resize((std::size_t{1} << n()) * stops_.size());
  }

  Chain run() {
    for (unsigned set = 0; set + 1 < 1U << n(); ++set) extend(set);
    const std::size_t full = (std::size_t{1} << n()) - 1;
    std::size_t best = full * stops_.size();
    for (std::size_t s = 0; s < stops_.size(); ++s) {
      if (table_[full * stops_.size() + s].cost < table_[best].cost)
        best = full * stops_.size() + s;
    }
    BUCKRAM_ASSERT(table_[best].cost < kInfinite);
    Chain chain;
    for (int cell = static_cast<int>(best); cell >= 0; cell = table_[at(cell)].before) {
      chain.push_back(stops_[at(cell) % stops_.size()]);
    }
    std::reverse(chain.begin(), chain.end());
    return chain;
  }

 private:
  int n() const { return static_cast<int>(members_.size()); }

  bool may_come(int member, unsigned set) const {
    for (int m = 0; m < n(); ++m) {
      if ((set >> m & 1) == 0 &&
          judge_.precedence.all_before[at(members_[at(member)])].has(members_[at(m)])) {
        return false;
      }
    }
    return (set >> member & 1) == 0;
  }

  void extend(unsigned set) {
    ObjectSet open = judge_.links.later(), sewn(judge_.precedence.size());
    for (int m = 0; m < n(); ++m) {
      (set >> m & 1 ? sewn : open).add(members_[at(m)]);
    }
    for (std::size_t to = 0; to < stops_.size(); ++to) {
      if (!may_come(member_[to], set)) continue;
      const double inward = inward_cost(judge_, stops_[to].object, sewn);
      Cell& cell = table_[(set | 1U << member_[to]) * stops_.size() + to];
      for (std::size_t from = 0; from < stops_.size(); ++from) {
        const std::size_t here = set * stops_.size() + from;
        const double so_far = set == 0 ? 0 : table_[here].cost;
        if (so_far == kInfinite) continue;
        const Stop* last = set == 0 ? nullptr : &stops_[from];
        const double cost = so_far + inward + arrive(judge_, last, stops_[to], open);
        if (cost < cell.cost) cell = {cost, set == 0 ? -1 : static_cast<int>(here)};
        if (set == 0) break;
      }
    }
  }

  const Judge& judge_;
  const std::vector<int>& members_;
  Chain stops_;
  std::vector<int> member_;  // by stop
  std::vector<Cell> table_;  // by set and last stop
};

// Takes the cheapest next stop among those whose turn may come; of very many, among those that
// begin nearby.
class Greedy {
 public:
  Greedy(const Judge& judge, const std::vector<int>& members)
      : judge_(judge),
        members_(members),
        open_(open_at_start(judge, members)),
        n_before_(at(judge.precedence.size()), 0),
        is_ready_(n_before_.size(), 0),
        inward_(n_before_.size(), 0) {
    ObjectSet waiting(judge.precedence.size());
    for (const int m : members) waiting.add(m);
    for (const int m : members) {
      for (const int b : judge.precedence.before[at(m)]) n_before_[at(m)] += waiting.has(b);
      is_ready_[at(m)] = n_before_[at(m)] == 0;
    }
    if (members.size() <= kMostCompared) return;
    near_.emplace(judge.links.all(), members);
    for (const int m : members) {
      if (!is_ready_[at(m)]) near_->remove(m);
    }
  }

  Chain run() {
    Chain chain;
    while (chain.size() < members_.size()) {
      if (chain.size() % 64 == 63) judge_.watch.at("ordering", 0.5);
      chain.push_back(next(chain.empty() ? nullptr : &chain.back()));
      take(chain.back().object);
    }
    return chain;
  }

 private:
  static constexpr std::size_t kMostCompared = 600;  // members of which all are looked at
  static constexpr int kCompared = 24;

  std::vector<int> ready() const {
    std::vector<int> list;
    for (const int m : members_) {
      if (is_ready_[at(m)]) list.push_back(m);
    }
    return list;
  }

  std::vector<int> candidates(const Stop* last) const {
    if (!near_) return ready();
    const Links& links = judge_.links.all();
    const geometry::Point here = last ? links.exit(*last) : judge_.from.value_or(geometry::Point{});
    return near_->near(here, kCompared);
  }

  Stop next(const Stop* last) const {
    double least = kInfinite;
    Stop best;
    const Links& links = judge_.links.all();
    for (const int object : candidates(last)) {
      const double inward = links.weights().inward_mm * inward_[at(object)];
      for (int way = 0; way < links.n_ways(object); ++way) {
        const double cost = inward + arrive(judge_, last, {object, way}, open_);
        if (cost < least) least = cost, best = {object, way};
      }
    }
    BUCKRAM_ASSERT(least < kInfinite);
    return best;
  }

  void take(int object) {
    is_ready_[at(object)] = 0;
    open_.remove(object);
    if (near_) near_->remove(object);
    for (const auto& pair : judge_.inward.pairs(object)) inward_[at(pair.other)] += pair.if_after;
    for (const int next : judge_.precedence.after[at(object)]) {
      if (--n_before_[at(next)] > 0 || !open_.has(next) || judge_.links.later().has(next)) continue;
      is_ready_[at(next)] = 1;
      if (near_) near_->add(next);
    }
  }

  const Judge& judge_;
  const std::vector<int>& members_;
  ObjectSet open_;
  std::vector<int> n_before_;   // by object: members that must come first and have not
  std::vector<char> is_ready_;  // by object
  std::vector<double> inward_;  // by object: cost of sewing it next
  std::optional<EndGrid> near_;
};

// Puts the order together from its end: each stop is the cheapest to come before the one put in
// last. What is put in is open for whatever comes before it, so that thread reaches every place of
// cloth that hangs together: where the order from its beginning on runs into dead ends, this has
// none.
class Backward {
 public:
  Backward(const Judge& judge, const std::vector<int>& members)
      : judge_(judge),
        members_(members),
        open_(judge.links.later()),
        n_after_(at(judge.precedence.size()), 0),
        is_waiting_(n_after_.size(), 0),
        inward_(n_after_.size(), 0) {
    for (const int m : members) is_waiting_[at(m)] = 1;
    for (const int m : members) {
      for (const int a : judge.precedence.after[at(m)]) n_after_[at(m)] += is_waiting_[at(a)];
      for (const auto& pair : judge.inward.pairs(m)) {
        if (is_waiting_[at(pair.other)]) inward_[at(m)] += pair.if_before;
      }
    }
  }

  bool may_be_last(int object) const { return n_after_[at(object)] == 0; }

  Chain run(int last) {
    Chain chain{{last, 0}};
    take(last);
    while (chain.size() < members_.size()) {
      chain.push_back(before(chain.back()));
      take(chain.back().object);
    }
    std::reverse(chain.begin(), chain.end());
    return chain;
  }

 private:
  Stop before(Stop next) const {
    double least = kInfinite;
    Stop best;
    const Links& links = judge_.links.all();
    for (const int object : members_) {
      if (!is_waiting_[at(object)] || n_after_[at(object)] > 0) continue;
      const double inward = links.weights().inward_mm * inward_[at(object)];
      for (int way = 0; way < links.n_ways(object); ++way) {
        const Stop stop{object, way};
        const double cost = inward + arrive(judge_, &stop, next, open_);
        if (cost < least) least = cost, best = stop;
      }
    }
    BUCKRAM_ASSERT(least < kInfinite);
    return best;
  }

  void take(int object) {
    is_waiting_[at(object)] = 0;
    open_.add(object);
    for (const auto& pair : judge_.inward.pairs(object)) inward_[at(pair.other)] -= pair.if_after;
    for (const int b : judge_.precedence.before[at(object)]) --n_after_[at(b)];
  }

  const Judge& judge_;
  const std::vector<int>& members_;
  ObjectSet open_;
  std::vector<int> n_after_;      // by object: members that must come after and are not put in yet
  std::vector<char> is_waiting_;  // by object: a member that is not put in yet
  std::vector<double> inward_;    // by object: cost of what waits being sewn before it
};

}  // namespace

Chain constructed_backwards(const Judge& judge, const std::vector<int>& members) {
  constexpr std::size_t kMostEnds = 8;  // tried, spread over the members that may be last
  const Backward backward(judge, members);
  std::vector<int> ends;
  for (const int m : members) {
    if (backward.may_be_last(m)) ends.push_back(m);
  }
  Chain best;
  double least = kInfinite;
  const std::size_t n = std::min(kMostEnds, ends.size());
  for (std::size_t k = 0; k < n; ++k) {
    judge.watch.at("ordering", 0.5);
    std::vector<int> order;
    for (const Stop& stop : Backward(backward).run(ends[k * ends.size() / n])) {
      order.push_back(stop.object);
    }
    const Tour tour(judge, with_best_ways(judge, order));
    if (tour.cost() < least) least = tour.cost(), best = tour.stops();
  }
  return best;
}

Chain constructed(const Judge& judge, const std::vector<int>& members) {
  return Greedy(judge, members).run();
}

Chain with_best_ways(const Judge& judge, const std::vector<int>& order) {
  std::vector<std::vector<Cell>> table;
  ObjectSet open = open_at_start(judge, order);
  const Links& links = judge.links.all();
  for (std::size_t i = 0; i < order.size(); ++i) {
    std::vector<Cell> row(at(links.n_ways(order[i])));
    for (int way = 0; way < links.n_ways(order[i]); ++way) {
      Cell& cell = row[at(way)];
      if (i == 0) cell.cost = arrive(judge, nullptr, {order[0], way}, open);
      for (int w = 0; i > 0 && w < links.n_ways(order[i - 1]); ++w) {
        const Stop last{order[i - 1], w};
        const double cost = table.back()[at(w)].cost + arrive(judge, &last, {order[i], way}, open);
        if (cost < cell.cost) cell = {cost, w};
      }
    }
    table.push_back(std::move(row));
    open.remove(order[i]);
  }
  Chain chain(order.size());
  int way = -1;
  for (std::size_t i = order.size(); i-- > 0;) {
    const auto& row = table[i];
    if (way < 0) {
      const auto least = std::min_element(
          row.begin(), row.end(), [](const Cell& a, const Cell& b) { return a.cost < b.cost; });
      way = static_cast<int>(least - row.begin());
    }
    chain[i] = {order[i], way};
    way = row[at(way)].before;
  }
  return chain;
}

Chain exact_chain(const Judge& judge, const std::vector<int>& members) {
  BUCKRAM_ASSERT(!members.empty() && members.size() <= kMostExact);
  return ExactChain(judge, members).run();
}

Chain best_chain(const Judge& judge, const std::vector<int>& members,
                 const SearchOptions& options) {
  std::size_t n_stops = 0;
  for (const int m : members) n_stops += at(judge.links.all().n_ways(m));
  // A table beyond this costs more than a search that finds the same.
  const bool is_small = members.size() <= kMostExact && n_stops <= 48;
  if (is_small) return exact_chain(judge, members);
  Chain forwards = constructed(judge, members);
  constexpr std::size_t kMostBackwards = 300;
  const bool is_plain = Tour(judge, forwards).is_plain();
  if (is_plain || members.size() > kMostBackwards) {
    return improved(judge, std::move(forwards), options);
  }
  // Either start ends now and then in a valley that the other is spared.
  SearchOptions half = options;
  half.most_tries /= 2;
  forwards = improved(judge, std::move(forwards), half);
  Chain backwards = improved(judge, constructed_backwards(judge, members), half);
  const bool is_worse = Tour(judge, backwards).cost() > Tour(judge, forwards).cost();
  return is_worse ? forwards : backwards;
}

}  // namespace buckram::sequence
