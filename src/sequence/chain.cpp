#include "sequence/chain.h"

#include "base/base.h"

#include <algorithm>
#include <limits>

namespace buckram::sequence {
namespace {

std::size_t at(int i) {
  return static_cast<std::size_t>(i);
}

// What is already farther out than the object that is to be sewn next, mm.
struct Outwards {
  const Judge& judge;
  double farthest = 0;

  double cost(int object) const {
    if (!judge.is_inward_dear) return 0;
    return judge.weights.inward_mm * std::max(0.0, farthest - judge.stray[at(object)]);
  }
  void add(int object) { farthest = std::max(farthest, judge.stray[at(object)]); }
};

LinkGuess arrive(const Judge& judge, const Chain& chain, geometry::Point from, int object, int way,
                 const ObjectSet& sewn) {
  if (!chain.empty()) {
    return judge.links.link(chain.back().object, chain.back().way, object, way, sewn);
  }
  return judge.links.visible_link(from, judge.objects[at(object)].ways[at(way)].entry);
}

// Greedy: the cheapest next object among those whose turn may come.
Chain constructed(const Judge& judge, const std::vector<int>& members, geometry::Point from,
                  ObjectSet sewn) {
  Chain chain;
  std::vector<int> left = members;
  ObjectSet outside(judge.precedence.size());
  for (const int m : members) outside.add(m);
  Outwards outwards{judge};
  while (!left.empty()) {
    double least = std::numeric_limits<double>::infinity();
    Stop best;
    for (const int object : left) {
      const bool may = std::none_of(judge.precedence.before[at(object)].begin(),
                                    judge.precedence.before[at(object)].end(),
                                    [&](int b) { return outside.has(b) && !sewn.has(b); });
      if (!may) continue;
      for (int way = 0; way < judge.links.n_ways(object); ++way) {
        const double cost =
            arrive(judge, chain, from, object, way, sewn).cost + outwards.cost(object);
        if (cost < least) least = cost, best = {object, way};
      }
    }
    BUCKRAM_ASSERT(least < std::numeric_limits<double>::infinity());
    chain.push_back(best);
    sewn.add(best.object);
    outwards.add(best.object);
    left.erase(std::find(left.begin(), left.end(), best.object));
  }
  return chain;
}

double cost_of(const Judge& judge, const Chain& chain, geometry::Point from, ObjectSet sewn) {
  double sum = 0;
  Chain before;
  Outwards outwards{judge};
  for (const Stop& stop : chain) {
    if (before.empty()) {
      sum += judge.links.visible_link(from, judge.objects[at(stop.object)].ways[at(stop.way)].entry)
                 .cost;
    } else {
      sum += judge.links.link(before.back().object, before.back().way, stop.object, stop.way, sewn)
                 .cost;
    }
    sum += outwards.cost(stop.object);
    outwards.add(stop.object);
    sewn.add(stop.object);
    before.assign(1, stop);
  }
  return sum;
}

bool keeps_precedence(const Judge& judge, const Chain& chain) {
  std::vector<int> place(at(judge.precedence.size()), -1);
  for (std::size_t i = 0; i < chain.size(); ++i) place[at(chain[i].object)] = int(i);
  for (const Stop& stop : chain) {
    for (const int b : judge.precedence.before[at(stop.object)]) {
      if (place[at(b)] > place[at(stop.object)]) return false;
    }
  }
  return true;
}

// Chain with the `n` stops from `first` taken out and put in before position `to` of the rest.
Chain moved(const Chain& chain, std::size_t first, std::size_t n, std::size_t to, bool turned) {
  Chain rest = chain;
  Chain part(chain.begin() + long(first), chain.begin() + long(first + n));
  if (turned) std::reverse(part.begin(), part.end());
  rest.erase(rest.begin() + long(first), rest.begin() + long(first + n));
  rest.insert(rest.begin() + long(to), part.begin(), part.end());
  return rest;
}

std::vector<int> objects_of(const Chain& chain) {
  std::vector<int> order;
  for (const Stop& stop : chain) order.push_back(stop.object);
  return order;
}

// Or-opt: stretches of one to three stops are moved elsewhere while that is cheaper.
void improve(const Judge& judge, Chain& chain, geometry::Point from, const ObjectSet& sewn,
             int most_tries) {
  double cost = cost_of(judge, chain, from, sewn);
  bool found = true;
  int tries = 0;
  while (found && tries < most_tries) {
    found = false;
    for (std::size_t n = 1; n <= 3 && n < chain.size(); ++n) {
      for (std::size_t first = 0; first + n <= chain.size(); ++first) {
        for (std::size_t to = 0; to + n <= chain.size() && tries < most_tries; ++to) {
          if (to == first) continue;
          ++tries;
          Chain tried = moved(chain, first, n, to, n > 1 && tries % 2 == 0);
          if (!keeps_precedence(judge, tried)) continue;
          if (chain.size() <= 24) tried = with_best_ways(judge, objects_of(tried), from, sewn);
          const double new_cost = cost_of(judge, tried, from, sewn);
          if (new_cost < cost - 1e-9) cost = new_cost, chain = tried, found = true;
        }
      }
    }
  }
}

}  // namespace

Chain with_best_ways(const Judge& judge, const std::vector<int>& order, geometry::Point from,
                     const ObjectSet& sewn) {
  struct Cell {
    double cost;
    int before;
  };
  std::vector<std::vector<Cell>> table;
  ObjectSet done = sewn;
  for (std::size_t i = 0; i < order.size(); ++i) {
    const int n = judge.links.n_ways(order[i]);
    std::vector<Cell> row(at(n), Cell{std::numeric_limits<double>::infinity(), -1});
    for (int way = 0; way < n; ++way) {
      if (i == 0) {
        const geometry::Point entry = judge.objects[at(order[i])].ways[at(way)].entry;
        row[at(way)] = {judge.links.visible_link(from, entry).cost, -1};
        continue;
      }
      for (int w = 0; w < judge.links.n_ways(order[i - 1]); ++w) {
        const double cost =
            table.back()[at(w)].cost + judge.links.link(order[i - 1], w, order[i], way, done).cost;
        if (cost < row[at(way)].cost) row[at(way)] = {cost, w};
      }
    }
    table.push_back(std::move(row));
    done.add(order[i]);
  }
  Chain chain(order.size());
  int way = 0;
  for (std::size_t i = order.size(); i-- > 0;) {
    if (i + 1 == order.size()) {
      const auto& row = table[i];
      way = int(std::min_element(row.begin(), row.end(),
                                 [](const Cell& a, const Cell& b) { return a.cost < b.cost; }) -
                row.begin());
    }
    chain[i] = {order[i], way};
    way = table[i][at(way)].before;
  }
  return chain;
}

Chain best_chain(const Judge& judge, const std::vector<int>& members, geometry::Point from,
                 const ObjectSet& sewn, int most_tries) {
  Chain chain = constructed(judge, members, from, sewn);
  improve(judge, chain, from, sewn, most_tries);
  Chain again = with_best_ways(judge, objects_of(chain), from, sewn);
  return cost_of(judge, again, from, sewn) < cost_of(judge, chain, from, sewn) ? again : chain;
}

}  // namespace buckram::sequence
