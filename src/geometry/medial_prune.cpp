#include "geometry/medial_axis.h"

#include "base/base.h"

#include <algorithm>
#include <cmath>
#include <compare>
#include <limits>
#include <queue>
#include <span>

namespace buckram::geometry {

namespace {

std::size_t index(int i) {
  return static_cast<std::size_t>(i);
}

// The edges at every node, in order of their numbers.
class Incidence {
 public:
  explicit Incidence(const MedialAxis& axis) : first_(axis.nodes.size() + 1, 0) {
    for (const MedialEdge& e : axis.edges) ++first_[index(e.from) + 1], ++first_[index(e.to) + 1];
    for (std::size_t i = 1; i < first_.size(); ++i) first_[i] += first_[i - 1];
    edges_.resize(2 * axis.edges.size());
    std::vector<std::size_t> next(first_.begin(), first_.end() - 1);
    for (std::size_t i = 0; i < axis.edges.size(); ++i) {
      edges_[next[index(axis.edges[i].from)]++] = static_cast<int>(i);
      edges_[next[index(axis.edges[i].to)]++] = static_cast<int>(i);
    }
  }
  std::span<const int> at(int node) const {
    return std::span(edges_).subspan(first_[index(node)],
                                     first_[index(node) + 1] - first_[index(node)]);
  }

 private:
  std::vector<std::size_t> first_;
  std::vector<int> edges_;
};

int other_end(const MedialEdge& edge, int node) {
  return edge.from == node ? edge.to : edge.from;
}

class Pruner {
 public:
  Pruner(const MedialAxis& axis, double significance)
      : axis_(axis),
        significance_(significance),
        incidence_(axis),
        alive_(axis.edges.size(), 1),
        degree_(axis.nodes.size(), 0),
        is_spot_(axis.nodes.size(), 0),
        rank_(axis.nodes.size()),
        leaves_of_(axis.nodes.size()) {
    for (const MedialEdge& e : axis.edges) ++degree_[index(e.from)], ++degree_[index(e.to)];
  }

  MedialAxis run() {
    for (int v = 0; v < static_cast<int>(axis_.nodes.size()); ++v) {
      if (degree_[index(v)] == 1) judge(v);
    }
    while (!queue_.empty()) {
      const Spur spur = queue_.top();
      queue_.pop();
      if (spur == rank_[index(spur.leaf)]) drop_at(spur.junction);
    }
    return what_is_left();
  }

 private:
  // A free branch, in the order of dropping: first those that end in a corner, so that the twigs
  // of a rough outline are gone before the ends of strokes are looked at.
  struct Spur {
    bool is_blunt = false;  // its end's disc is more than half of the junction's
    double ratio = 0;       // how far it sticks out of the junction's disc, in radii
    int leaf = -1, junction = -1;
    friend auto operator<=>(const Spur&, const Spur&) = default;
  };

  struct Walk {
    std::vector<int> nodes, edges;  // from the leaf to the junction or the other leaf
  };

  Walk walk_from(int leaf) const {
    Walk walk;
    int node = leaf, came_by = -1;
    do {
      walk.nodes.push_back(node);
      const auto edges = incidence_.at(node);
      const auto next = std::find_if(edges.begin(), edges.end(),
                                     [&](int e) { return alive_[index(e)] && e != came_by; });
      if (next == edges.end()) return walk;
      came_by = *next;
      walk.edges.push_back(came_by);
      node = other_end(axis_.edges[index(came_by)], node);
    } while (degree_[index(node)] == 2);
    walk.nodes.push_back(node);
    return walk;
  }

  // Measures the branch that ends at `leaf` and queues it when it may go.
  void judge(int leaf) {
    const Walk walk = walk_from(leaf);
    const int junction = walk.nodes.back();
    rank_[index(leaf)] = {};
    if (degree_[index(junction)] < 3) return;
    const MedialNode& j = axis_.nodes[index(junction)];
    double out = 0;
    for (const int v : walk.nodes) {
      const MedialNode& node = axis_.nodes[index(v)];
      out = std::max(out, distance(node.at, j.at) + node.radius_mm - j.radius_mm);
    }
    leaves_of_[index(junction)].push_back(leaf);
    constexpr double kInfinity = std::numeric_limits<double>::infinity();
    const double ratio = out <= 0 ? 0 : j.radius_mm > 0 ? out / j.radius_mm : kInfinity;
    const bool is_blunt = 2 * axis_.nodes[index(leaf)].radius_mm > j.radius_mm;
    rank_[index(leaf)] = {is_blunt, ratio, leaf, junction};
    if (ratio <= significance_) queue_.push(rank_[index(leaf)]);
  }

  void remove(const Walk& walk) {
    rank_[index(walk.nodes.front())] = {};
    for (const int e : walk.edges) {
      alive_[index(e)] = 0;
      --degree_[index(axis_.edges[index(e)].from)];
      --degree_[index(axis_.edges[index(e)].to)];
    }
  }

  // Drops the least spur of the junction, and with it those like it: the two corners of a
  // stroke's end go together, or one of them would bend the end.
  void drop_at(int junction) {
    // Alike: up to twice as far out, and not clearly above the significance.
    constexpr double kAlike = 2, kMargin = 1.25;
    std::vector<Spur> spurs;
    for (const int leaf : leaves_of_[index(junction)]) {
      const Spur& spur = rank_[index(leaf)];
      if (spur.junction == junction) spurs.push_back(spur);
    }
    std::sort(spurs.begin(), spurs.end());
    spurs.erase(std::unique(spurs.begin(), spurs.end()), spurs.end());
    // A corner that sticks out far may sort before the blunt stub that was to go: it stays.
    const auto first = std::find_if(spurs.begin(), spurs.end(),
                                    [&](const Spur& spur) { return spur.ratio <= significance_; });
    if (first == spurs.end()) return;
    std::vector<Walk> walks;  // all before the first is removed: each ends at the junction
    for (auto spur = first; spur != spurs.end(); ++spur) {
      const double reach = std::min(kAlike * first->ratio, kMargin * significance_);
      const bool goes_along = !spur->is_blunt && spur->ratio <= reach;
      if (spur == first || goes_along) walks.push_back(walk_from(spur->leaf));
    }
    for (const Walk& walk : walks) remove(walk);
    if (degree_[index(junction)] >= 3) return requeue(junction);
    is_spot_[index(junction)] = degree_[index(junction)] == 0;
    if (degree_[index(junction)] == 1) judge(junction);
    const std::vector<int> leaves = std::move(leaves_of_[index(junction)]);
    leaves_of_[index(junction)].clear();
    for (const int leaf : leaves) {
      if (degree_[index(leaf)] == 1) judge(leaf);
    }
  }

  // The junction stays one; what was popped to get here is still to be dropped if it is left.
  void requeue(int junction) {
    for (const int leaf : leaves_of_[index(junction)]) {
      const Spur& spur = rank_[index(leaf)];
      if (spur.junction == junction && spur.ratio <= significance_) queue_.push(spur);
    }
  }

  MedialAxis what_is_left() const {
    MedialAxis out;
    std::vector<int> number(axis_.nodes.size(), -1);
    for (std::size_t v = 0; v < axis_.nodes.size(); ++v) {
      if (degree_[v] == 0 && !is_spot_[v]) continue;
      number[v] = static_cast<int>(out.nodes.size());
      out.nodes.push_back(axis_.nodes[v]);
    }
    for (std::size_t i = 0; i < axis_.edges.size(); ++i) {
      if (!alive_[i]) continue;
      MedialEdge edge = axis_.edges[i];
      edge.from = number[index(edge.from)];
      edge.to = number[index(edge.to)];
      out.edges.push_back(edge);
    }
    return out;
  }

  const MedialAxis& axis_;
  double significance_;
  Incidence incidence_;
  std::vector<char> alive_;
  std::vector<int> degree_;
  std::vector<char> is_spot_;  // all branches went: the middle of a round or square spot
  std::vector<Spur> rank_;     // of a leaf's branch; junction -1: it has none
  std::vector<std::vector<int>> leaves_of_;  // per junction, the leaves judged against it
  std::priority_queue<Spur, std::vector<Spur>, std::greater<>> queue_;
};

}  // namespace

MedialAxis pruned(const MedialAxis& axis, double significance) {
  BUCKRAM_ASSERT(significance >= 0);
  return Pruner(axis, significance).run();
}

std::vector<MedialBranch> branches(const MedialAxis& axis) {
  const Incidence incidence(axis);
  std::vector<char> taken(axis.edges.size(), 0);
  std::vector<MedialBranch> out;
  const auto follow = [&](int start, int edge) {
    MedialBranch branch{{start}, false, 0};
    int node = start;
    while (edge >= 0) {
      taken[index(edge)] = 1;
      const int next = other_end(axis.edges[index(edge)], node);
      branch.length_mm += distance(axis.nodes[index(node)].at, axis.nodes[index(next)].at);
      branch.nodes.push_back(next);
      node = next;
      edge = -1;
      if (incidence.at(node).size() != 2) break;
      for (const int e : incidence.at(node)) {
        if (!taken[index(e)]) edge = e;
      }
    }
    return branch;
  };
  for (int v = 0; v < static_cast<int>(axis.nodes.size()); ++v) {
    if (incidence.at(v).size() == 2) continue;
    for (const int e : incidence.at(v)) {
      if (!taken[index(e)]) out.push_back(follow(v, e));
    }
  }
  for (std::size_t i = 0; i < axis.edges.size(); ++i) {
    if (taken[i]) continue;
    MedialBranch loop = follow(axis.edges[i].from, static_cast<int>(i));
    loop.nodes.pop_back();
    loop.closed = true;
    out.push_back(std::move(loop));
  }
  return out;
}

}  // namespace buckram::geometry
