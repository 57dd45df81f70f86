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
      : judge_(judge), members_(members), trim_mm_(trim_mm), open_(judge.links.later()) {
    const int n = static_cast<int>(members.size());
    for (const int m : members) open_.add(m), note_ends(m);
    may_follow.resize(at(n));
    visible_mm.assign(at(n) * at(n), 1e300);
    for (int a = 0; a < n; ++a) {
      if (a % 64 == 63) judge.watch.at("ordering", 0.5);
      for (int b = 0; b < n; ++b) {
        if (a == b) continue;
        const double mm = look(a, b);
        double& there = visible_mm[at(a) * at(n) + at(b)];
        double& back = visible_mm[at(b) * at(n) + at(a)];
        there = back = std::min(there, mm);
      }
    }
  }

  std::vector<std::vector<int>> may_follow;  // without a trim
  std::vector<double> visible_mm;            // symmetric, n x n

 private:
  static constexpr std::int64_t kMostLooks = 20'000'000;  // of is_hidden(), about 0.1 s

  // Each place once: most ways share their ends.
  void note_ends(int member) {
    const Links& links = judge_.links.all();
    std::vector<geometry::Point> in, out;
    const auto note = [](std::vector<geometry::Point>& list, geometry::Point p) {
      if (std::find(list.begin(), list.end(), p) == list.end()) list.push_back(p);
    };
    bool may_hide = false;
    for (int w = 0; w < links.n_ways(member); ++w) {
      note(in, links.entry({member, w})), note(out, links.exit({member, w}));
      may_hide = may_hide || judge_.links.may_hide({member, w});
    }
    entries_.push_back(std::move(in)), exits_.push_back(std::move(out));
    may_hide_.push_back(may_hide);
  }

  // The least visible way from a to b; notes whether b may follow a without a trim.
  double look(int a, int b) {
    const Precedence& p = judge_.precedence;
    const int from = members_[at(a)], to = members_[at(b)];
    double least = 1e300;
    for (const geometry::Point exit : exits_[at(a)]) {
      for (const geometry::Point entry : entries_[at(b)]) {
        least = std::min(least, geometry::distance(exit, entry));
      }
    }
    const bool is_hidden = may_hide_[at(a)] && may_hide(from, to);
    const bool is_direct = !p.all_before[at(from)].has(to) &&
                           (!p.all_before[at(to)].has(from) || !has_between(from, to));
    if (is_direct && (is_hidden || least <= trim_mm_)) may_follow[at(a)].push_back(b);
    return is_hidden ? 0 : least;
  }

  bool has_between(int from, int to) const {
    const auto& direct = judge_.precedence.before[at(to)];
    return !std::binary_search(direct.begin(), direct.end(), from);
  }

  bool may_hide(int from, int to) {
    const Links& links = judge_.links.all();
    for (int v = 0; v < links.n_ways(from); ++v) {
      for (int w = 0; w < links.n_ways(to); ++w) {
        if (may_hide(Stop{from, v}, Stop{to, w})) return true;
      }
    }
    return false;
  }

  // What must precede b is not open then; where none of it is in reach, nothing need be looked for.
  bool may_hide(Stop a, Stop b) {
    using Cover = VisitLinks::Cover;
    const Cover cover = judge_.links.cover(a, b);
    if (cover != Cover::sometimes) return cover == Cover::always;
    const ObjectSet& before = judge_.precedence.all_before[at(b.object)];
    const Links& links = judge_.links.all();
    if (!judge_.links.may_lie_over(before, a)) return true;
    if (links.n_looks() - n_looks_before_ > kMostLooks) return true;
    ObjectSet open = open_;
    open.remove(a.object);
    open.take(judge_.precedence.all_before[at(a.object)]);
    open.take(before);
    return links.is_hidden(a, b, open);
  }

  const Judge& judge_;
  const std::vector<int>& members_;
  double trim_mm_;
  ObjectSet open_;  // members and what is sewn later
  std::vector<std::vector<geometry::Point>> entries_, exits_;
  std::vector<char> may_hide_;
  std::int64_t n_looks_before_ = judge_.links.all().n_looks();
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

// A matching of starts with ends, grown by one augmenting path at a time (breadth first).
class Matching {
 public:
  explicit Matching(const std::vector<std::vector<int>>& may_follow)
      : may_follow_(may_follow),
        into_(may_follow.size(), -1),
        out_(may_follow.size(), -1),
        via_(may_follow.size(), -1),
        tried_(may_follow.size(), -1) {
    for (int from = 0; from < static_cast<int>(may_follow.size()); ++from) grow(from);
  }

  // Which place each is reached from, -1: none.
  const std::vector<int>& into() const { return into_; }

 private:
  // What a search in vain has tried leads nowhere ever after (Kuhn 1955), and stays tried.
  void grow(int start) {
    std::vector<int> froms{start}, reached;
    for (std::size_t k = 0; k < froms.size(); ++k) {
      for (const int to : may_follow_[at(froms[k])]) {
        if (tried_[at(to)] >= 0) continue;
        tried_[at(to)] = start;
        reached.push_back(to);
        via_[at(to)] = froms[k];
        if (into_[at(to)] < 0) {
          turn(to, start);
          for (const int r : reached) tried_[at(r)] = -1;
          return;
        }
        froms.push_back(into_[at(to)]);
      }
    }
  }

  // Every second link of the path to `to` takes the place of the one before it.
  void turn(int to, int start) {
    for (int from = -1; from != start;) {
      from = via_[at(to)];
      const int given_up = out_[at(from)];
      into_[at(to)] = from, out_[at(from)] = to;
      to = given_up;
    }
  }

  const std::vector<std::vector<int>>& may_follow_;
  std::vector<int> into_, out_, via_, tried_;
};

}  // namespace

double path_bound(const std::vector<double>& cost, int n, int n_rounds, const base::Watch& watch) {
  if (n < 2) return 0;
  if (n == 2) return cost[1];
  const double reached = greedy_path(cost, n);
  std::vector<double> weight(at(n + 1), 0);
  std::vector<int> last_wrong(at(n + 1), 0);
  double best = 0, scale = 1;
  int n_idle = 0;
  for (int round = 0; round < n_rounds; ++round) {
    watch.at("ordering", 0.5);
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
  const Matching matching(may_follow);
  const std::vector<int>& into = matching.into();
  return static_cast<int>(into.size() - at(int(std::count(into.begin(), into.end(), -1))));
}

VisitBound bound_of(const Judge& judge, const std::vector<int>& members, double trim_mm) {
  const int n = static_cast<int>(members.size());
  VisitBound bound;
  if (n < 2) return bound;
  if (n > kMostBounded) {
    bound.is_known = false;
    return bound;
  }
  const MemberGraph graph(judge, members, trim_mm);
  const Matching matching(graph.may_follow);
  const std::vector<int>& into = matching.into();
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
  bound.visible_mm = path_bound(graph.visible_mm, n, n_rounds, judge.watch);
  return bound;
}

}  // namespace buckram::sequence
