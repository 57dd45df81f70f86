#include "sequence/precedence.h"

#include <algorithm>
#include <bit>
#include <map>
#include <numeric>

namespace buckram::sequence {
namespace {

constexpr double kNoiseAreaMm2 = 0.02;
constexpr double kThinMm = 0.05;

// Grows a closed order arrow by arrow.
class Closure {
 public:
  explicit Closure(int n) : before_(static_cast<std::size_t>(n), ObjectSet(n)), after_(before_) {}
  bool is_before(int a, int b) const { return before_[static_cast<std::size_t>(b)].has(a); }
  void add(int from, int to) {
    if (is_before(from, to)) return;
    ObjectSet upstream = before_[static_cast<std::size_t>(from)];
    upstream.add(from);
    ObjectSet downstream = after_[static_cast<std::size_t>(to)];
    downstream.add(to);
    downstream.each([&](int i) { before_[static_cast<std::size_t>(i)].add(upstream); });
    upstream.each([&](int i) { after_[static_cast<std::size_t>(i)].add(downstream); });
  }
  bool add_unless_ring(const Arrow& arrow) {
    if (arrow.from == arrow.to || is_before(arrow.to, arrow.from)) return false;
    add(arrow.from, arrow.to);
    return true;
  }
  Precedence finish(int n_dropped) {
    const int n = static_cast<int>(before_.size());
    Precedence p;
    p.before.resize(static_cast<std::size_t>(n));
    p.after.resize(static_cast<std::size_t>(n));
    p.n_dropped = n_dropped;
    for (int i = 0; i < n; ++i) {
      before_[static_cast<std::size_t>(i)].each([&](int j) {
        if (is_implied(j, i)) return;
        p.before[static_cast<std::size_t>(i)].push_back(j);
        p.after[static_cast<std::size_t>(j)].push_back(i);
      });
    }
    p.all_before = std::move(before_);
    return p;
  }

 private:
  // Whether something lies between a and b.
  bool is_implied(int a, int b) const {
    return after_[static_cast<std::size_t>(a)].meets(before_[static_cast<std::size_t>(b)]);
  }
  std::vector<ObjectSet> before_, after_;
};

bool overlap(const geometry::Polygons& a, const geometry::Polygons& b) {
  return geometry::area(geometry::intersect(a, b)) > kNoiseAreaMm2;
}

// What paint order demands.
Closure overlaps_of(const std::vector<digitise::Object>& objects) {
  const int n = static_cast<int>(objects.size());
  Closure closure(n);
  std::vector<geometry::Polygons> thin;
  std::vector<geometry::Box> boxes;
  for (const digitise::Object& object : objects) {
    thin.push_back(geometry::simplify(object.outline, kThinMm));
    boxes.push_back(geometry::bounds(thin.back()));
  }
  const auto order = [&](int i) { return objects[static_cast<std::size_t>(i)].order; };

  // Nearest in paint order first: most of what lies farther apart is then implied.
  std::vector<Arrow> pairs;
  for (int i = 0; i < n; ++i) {
    for (int j = 0; j < n; ++j) {
      const bool meet =
          boxes[static_cast<std::size_t>(i)].meets(boxes[static_cast<std::size_t>(j)]);
      if (order(i) < order(j) && meet) pairs.push_back({i, j});
    }
  }
  std::stable_sort(pairs.begin(), pairs.end(), [&](const Arrow& a, const Arrow& b) {
    return order(a.to) - order(a.from) < order(b.to) - order(b.from);
  });
  for (const Arrow& pair : pairs) {
    const std::size_t i = static_cast<std::size_t>(pair.from),
                      j = static_cast<std::size_t>(pair.to);
    if (!closure.is_before(pair.from, pair.to) && overlap(thin[i], thin[j])) {
      closure.add(pair.from, pair.to);
    }
  }
  return closure;
}

}  // namespace

int ObjectSet::count() const {
  int n = 0;
  for (const std::uint64_t word : words_) n += std::popcount(word);
  return n;
}

bool ObjectSet::contains(const ObjectSet& other) const {
  for (std::size_t k = 0; k < words_.size(); ++k) {
    if ((other.words_[k] & ~words_[k]) != 0) return false;
  }
  return true;
}

bool ObjectSet::meets(const ObjectSet& other) const {
  for (std::size_t k = 0; k < words_.size(); ++k) {
    if ((other.words_[k] & words_[k]) != 0) return true;
  }
  return false;
}

void ObjectSet::add(const ObjectSet& other) {
  for (std::size_t k = 0; k < words_.size(); ++k) words_[k] |= other.words_[k];
}

void ObjectSet::take(const ObjectSet& other) {
  for (std::size_t k = 0; k < words_.size(); ++k) words_[k] &= ~other.words_[k];
}

bool ObjectSet::empty() const {
  return std::all_of(words_.begin(), words_.end(), [](std::uint64_t w) { return w == 0; });
}

Precedence precedence_of(int n, const std::vector<Arrow>& arrows) {
  Closure closure(n);
  int n_dropped = 0;
  for (const Arrow& arrow : arrows) n_dropped += !closure.add_unless_ring(arrow);
  return closure.finish(n_dropped);
}

Precedences precedences_of(const std::vector<digitise::Object>& objects) {
  Closure covering = overlaps_of(objects);
  int n_dropped = 0;
  std::vector<Arrow> tucked;
  std::map<int, int> index_of;
  for (std::size_t i = 0; i < objects.size(); ++i) index_of.emplace(objects[i].id, int(i));
  for (int to = 0; to < static_cast<int>(objects.size()); ++to) {
    const digitise::Object& object = objects[static_cast<std::size_t>(to)];
    for (const int id : object.after) {
      const auto it = index_of.find(id);
      if (it == index_of.end()) continue;
      const Arrow arrow{it->second, to};
      const bool is_tuck =
          std::find(object.tucked.begin(), object.tucked.end(), id) != object.tucked.end();
      if (is_tuck)
        tucked.push_back(arrow);
      else
        n_dropped += !covering.add_unless_ring(arrow);
    }
  }
  Precedences all;
  Closure tidy = covering;
  for (const Arrow& arrow : tucked) {
    const bool is_kept = tidy.add_unless_ring(arrow);
    if (is_kept && !covering.is_before(arrow.from, arrow.to)) all.tucks.push_back(arrow);
    n_dropped += !is_kept;
  }
  all.covering = covering.finish(n_dropped);
  all.tidy = tidy.finish(n_dropped);
  return all;
}

}  // namespace buckram::sequence
