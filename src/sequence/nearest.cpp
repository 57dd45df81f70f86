// Whose sides are worth trying: the short list that keeps a local search from asking all pairs.
#include "sequence/end_grid.h"
#include "sequence/search.h"

#include <algorithm>
#include <optional>

namespace buckram::sequence {
namespace {

constexpr int kNearest = 8;
constexpr std::size_t kMostWays = 1024;  // of all stops, above which not all pairs are compared
constexpr int kCompared = 24;

std::size_t at(int i) {
  return static_cast<std::size_t>(i);
}

struct Near {
  double cost;
  int object;
  bool operator<(const Near& other) const {
    return cost < other.cost || (cost == other.cost && object < other.object);
  }
};

// A link that may be hidden is taken to be.
double best_cost(const Judge& judge, Stop a, Stop b) {
  const double fixed = judge.links.fixed_cost(a, b);
  return fixed >= 0 ? fixed : judge.links.all().hidden_cost(a, b);
}

double least_between(const Judge& judge, int a, int b) {
  const Links& links = judge.links.all();
  double least = 1e300;
  for (int v = 0; v < links.n_ways(a); ++v) {
    for (int w = 0; w < links.n_ways(b); ++w) {
      least = std::min({least, best_cost(judge, {a, v}, {b, w}), best_cost(judge, {b, w}, {a, v})});
    }
  }
  return least;
}

}  // namespace

Nearest nearest_of(const Judge& judge, const std::vector<int>& members) {
  const Links& links = judge.links.all();
  std::size_t n_ways = 0;
  for (const int m : members) n_ways += at(links.n_ways(m));
  std::optional<EndGrid> ends;
  if (n_ways > kMostWays) ends.emplace(links, members);
  Nearest nearest(at(judge.precedence.size()));
  for (std::size_t k = 0; k < members.size(); ++k) {
    if (k % 64 == 63) judge.watch.at("ordering", 0.5);
    const int a = members[k];
    std::vector<Near> all;
    for (const int b : ends ? ends->near(a, kCompared) : members) {
      if (a != b) all.push_back({least_between(judge, a, b), b});
    }
    const auto end = all.begin() + std::min<long>(kNearest, long(all.size()));
    std::partial_sort(all.begin(), end, all.end());
    for (auto it = all.begin(); it != end; ++it) nearest[at(a)].push_back(it->object);
  }
  return nearest;
}

}  // namespace buckram::sequence
