#include "sequence/bound.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace buckram::sequence {
namespace {

std::size_t at(int i) {
  return static_cast<std::size_t>(i);
}

// Place n stands for the ends of the path. Prim's algorithm, O(n^2).
struct Tree {
  double cost = 0;           // weights included
  std::vector<int> degrees;  // of places and of the end
};

// The cheapest ring with one tree hanging from it: a spanning tree of the places, and two links
// of the end.
Tree one_tree(const std::vector<double>& cost, int n, const std::vector<double>& weight) {
  Tree tree;
  tree.degrees.assign(at(n + 1), 0);
  std::vector<double> key(at(n), 1e300);
  std::vector<int> from(at(n), -1);
  std::vector<char> is_in(at(n), 0);
  key[0] = 0;
  for (int k = 0; k < n; ++k) {
    int next = -1;
    for (int i = 0; i < n; ++i) {
      if (!is_in[at(i)] && (next < 0 || key[at(i)] < key[at(next)])) next = i;
    }
    is_in[at(next)] = 1;
    tree.cost += key[at(next)];
    if (from[at(next)] >= 0) ++tree.degrees[at(next)], ++tree.degrees[at(from[at(next)])];
    const double* row = &cost[at(next) * at(n)];
    for (int i = 0; i < n; ++i) {
      const double c = row[i] + weight[at(i)] + weight[at(next)];
      if (!is_in[at(i)] && c < key[at(i)]) key[at(i)] = c, from[at(i)] = next;
    }
  }
  int first = 0, second = 1;
  if (weight[1] < weight[0]) std::swap(first, second);
  for (int i = 2; i < n; ++i) {
    if (weight[at(i)] < weight[at(first)]) {
      second = first, first = i;
    } else if (weight[at(i)] < weight[at(second)]) {
      second = i;
    }
  }
  tree.cost += weight[at(first)] + weight[at(second)];
  ++tree.degrees[at(first)], ++tree.degrees[at(second)], tree.degrees[at(n)] = 2;
  return tree;
}

// Nearest place next, from the first: an upper bound for the length of steps.
double greedy_path(const std::vector<double>& cost, int n) {
  std::vector<char> is_in(at(n), 0);
  double sum = 0;
  int here = 0;
  for (int k = 1; k < n; ++k) {
    is_in[at(here)] = 1;
    int next = -1;
    const auto to = [&](int i) { return cost[at(here) * at(n) + at(i)]; };
    for (int i = 0; i < n; ++i) {
      if (!is_in[at(i)] && (next < 0 || to(i) < to(next))) next = i;
    }
    sum += to(next);
    here = next;
  }
  return sum;
}

// Links between members, by place in `members`.
class MemberGraph {
 public:
  MemberGraph(const Judge& judge, const std::vector<int>& members, double trim_mm)
      : judge_(judge), members_(members), trim_mm_(trim_mm) {
    const int n = static_cast<int>(members.size());
    may_follow.resize(at(n));
    visible_mm.assign(at(n) * at(n), 0);
    std::vector<double> way_mm(at(n) * at(n), 0);
    for (int a = 0; a < n; ++a) {
      for (int b = 0; b < n; ++b) {
        if (a != b) way_mm[at(a) * at(n) + at(b)] = look(a, b);
      }
    }
    for (int a = 0; a < n; ++a) {
      for (int b = 0; b < n; ++b) {
        visible_mm[at(a) * at(n) + at(b)] =
            std::min(way_mm[at(a) * at(n) + at(b)], way_mm[at(b) * at(n) + at(a)]);
      }
    }
  }

  std::vector<std::vector<int>> may_follow;  // without a trim
  std::vector<double> visible_mm;            // symmetric, n x n

 private:
  // The least visible way from a to b; notes whether b may follow a without a trim.
  double look(int a, int b) {
    const Links& links = judge_.links.all();
    const Precedence& p = judge_.precedence;
    const int from = members_[at(a)], to = members_[at(b)];
    double least = 1e300;
    bool is_hidden = false;
    for (int v = 0; v < links.n_ways(from); ++v) {
      for (int w = 0; w < links.n_ways(to); ++w) {
        least = std::min(least, geometry::distance(links.exit({from, v}), links.entry({to, w})));
        is_hidden = is_hidden || may_hide({from, v}, {to, w});
      }
    }
    const bool is_direct = !p.all_before[at(from)].has(to) &&
                           (!p.all_before[at(to)].has(from) || !has_between(from, to));
    if (is_direct && (is_hidden || least <= trim_mm_)) may_follow[at(a)].push_back(b);
    return is_hidden ? 0 : least;
  }

  bool has_between(int from, int to) const {
    const auto& direct = judge_.precedence.before[at(to)];
    return !std::binary_search(direct.begin(), direct.end(), from);
  }

  bool may_hide(Stop a, Stop b) const {
    using Cover = VisitLinks::Cover;
    const Cover cover = judge_.links.cover(a, b);
    if (cover != Cover::sometimes) return cover == Cover::always;
    const Precedence& p = judge_.precedence;
    ObjectSet open = judge_.links.later();
    for (const int m : members_) open.add(m);
    open.remove(a.object);
    open.take(p.all_before[at(a.object)]);
    open.take(p.all_before[at(b.object)]);
    return judge_.links.all().is_hidden(a, b, open);
  }

  const Judge& judge_;
  const std::vector<int>& members_;
  double trim_mm_;
};

// Islands as lists of places.
std::vector<std::vector<int>> islands_of(const std::vector<std::vector<int>>& may_follow) {
  std::vector<int> parent(may_follow.size());
  std::iota(parent.begin(), parent.end(), 0);
  const auto root = [&](int i) {
    while (parent[at(i)] != i) i = parent[at(i)] = parent[at(parent[at(i)])];
    return i;
  };
  for (int a = 0; a < static_cast<int>(may_follow.size()); ++a) {
    for (const int b : may_follow[at(a)]) parent[at(root(a))] = root(b);
  }
  std::vector<std::vector<int>> by_root(may_follow.size()), islands;
  for (int a = 0; a < static_cast<int>(may_follow.size()); ++a) by_root[at(root(a))].push_back(a);
  for (auto& island : by_root) {
    if (!island.empty()) islands.push_back(std::move(island));
  }
  return islands;
}

// Whether the link into `to` can be given up or moved for one from `from` (Kuhn's algorithm).
bool augment(const std::vector<std::vector<int>>& may_follow, int from, std::vector<int>& into,
             std::vector<char>& is_tried) {
  for (const int to : may_follow[at(from)]) {
    if (is_tried[at(to)]) continue;
    is_tried[at(to)] = 1;
    if (into[at(to)] < 0 || augment(may_follow, into[at(to)], into, is_tried)) {
      into[at(to)] = from;
      return true;
    }
  }
  return false;
}

// Which place each is reached from in a largest matching, -1: none.
std::vector<int> matched(const std::vector<std::vector<int>>& may_follow) {
  std::vector<int> into(may_follow.size(), -1);
  for (int from = 0; from < static_cast<int>(may_follow.size()); ++from) {
    std::vector<char> is_tried(may_follow.size(), 0);
    augment(may_follow, from, into, is_tried);
  }
  return into;
}

}  // namespace

double path_bound(const std::vector<double>& cost, int n, int n_rounds) {
  if (n < 2) return 0;
  if (n == 2) return cost[1];
  const double reached = greedy_path(cost, n);
  std::vector<double> weight(at(n + 1), 0);
  std::vector<int> last_wrong(at(n + 1), 0);
  double best = 0, scale = 1;
  int n_idle = 0;
  for (int round = 0; round < n_rounds; ++round) {
    const Tree tree = one_tree(cost, n, weight);
    double bound = tree.cost + 2 * weight[at(n)];
    for (const double w : weight) bound -= 2 * w;
    n_idle = bound > best + 1e-6 * reached ? 0 : n_idle + 1;
    best = std::max(best, bound);
    if (n_idle > std::max(3, n_rounds / 50)) scale *= 0.7, n_idle = 0;
    double norm = 0;
    for (int i = 0; i < n; ++i) norm += std::pow(tree.degrees[at(i)] - 2, 2);
    if (norm == 0) break;  // a path: the bound is the optimum
    const double step = scale * std::max(reached - bound, 1e-6 * reached) / norm;
    for (int i = 0; i < n; ++i) {
      // Part of the last slope kept: it swings less (Volgenant and Jonker 1982).
      const int wrong = tree.degrees[at(i)] - 2;
      weight[at(i)] += step * (0.7 * wrong + 0.3 * last_wrong[at(i)]);
      last_wrong[at(i)] = wrong;
    }
  }
  return best;
}

int most_links(const std::vector<std::vector<int>>& may_follow) {
  const std::vector<int> into = matched(may_follow);
  return static_cast<int>(into.size() - at(int(std::count(into.begin(), into.end(), -1))));
}

VisitBound bound_of(const Judge& judge, const std::vector<int>& members, double trim_mm) {
  const int n = static_cast<int>(members.size());
  VisitBound bound;
  if (n < 2) return bound;
  const MemberGraph graph(judge, members, trim_mm);
  const std::vector<int> into = matched(graph.may_follow);
  const auto islands = islands_of(graph.may_follow);
  bound.islands = static_cast<int>(islands.size());
  int n_paths = 0;
  for (const auto& island : islands) {
    const auto n_open =
        std::count_if(island.begin(), island.end(), [&](int place) { return into[at(place)] < 0; });
    n_paths += std::max(1, static_cast<int>(n_open));
  }
  bound.least_trims = n_paths - 1;
  const int n_rounds = std::clamp(static_cast<int>(2.5e7 / n / n), 10, 100);
  bound.visible_mm = path_bound(graph.visible_mm, n, n_rounds);
  return bound;
}

}  // namespace buckram::sequence
