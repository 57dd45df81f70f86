#include "sequence/search.h"
#include "sequence/bound.h"
#include "sequence/boxes.h"
#include "sequence/end_grid.h"

#include <gtest/gtest.h>

#include <numeric>

namespace buckram::sequence {
namespace {

using digitise::Object;

// One visit of everything, with what a judge needs.
struct Instance {
  std::vector<Object> objects;
  OrderOptions options;
  Precedences all_precedence;
  const Precedence& precedence = all_precedence.covering;
  CoverGrid grid;
  Links links;
  Inward inward;
  std::vector<int> members;
  VisitLinks visit;
  Judge judge;

  explicit Instance(std::vector<Object> made)
      : objects(std::move(made)),
        all_precedence(precedences_of(objects)),
        grid(objects, options.hide_inset_mm),
        links(objects, grid, options, {}),
        inward(objects, grid, {}),
        members(of_thread_0(objects)),
        visit(links, precedence, members, ObjectSet(precedence.size())),
        judge{precedence, visit, inward, geometry::Point{0, 0}} {
    inward.settle(all_precedence.tucks, links.weights().tuck / links.weights().inward_mm);
  }
  Instance(const Instance&) = delete;

  static std::vector<int> of_thread_0(const std::vector<Object>& objects) {
    std::vector<int> all;
    for (std::size_t i = 0; i < objects.size(); ++i) {
      if (objects[i].thread == 0) all.push_back(static_cast<int>(i));
    }
    return all;
  }
};

// n boxes of one thread, and a large one of another that is sewn later and covers some of them.
std::vector<Object> visit_objects(std::uint64_t seed, int n) {
  std::vector<Object> objects = random_objects(seed, n, 1);
  base::Random random(seed + 1000);
  const double x = random.uniform(-25, 0);
  objects.push_back(object_of(n + 1, 1, n, box(x, random.uniform(16, 40), 25, 15)));
  return objects;
}

// By definition, step by step.
double cost_of(const Instance& in, const Chain& chain) {
  const Weights& weights = in.links.weights();
  ObjectSet sewn(in.precedence.size()), open = sewn;
  for (int o = 0; o < in.precedence.size(); ++o) open.add(o);
  double sum = 0;
  for (std::size_t i = 0; i < chain.size(); ++i) {
    const geometry::Point to = in.links.entry(chain[i]);
    if (i == 0) {
      sum += weights.first_mm * geometry::distance(*in.judge.from, to);
    } else if (in.links.is_hidden(chain[i - 1], chain[i], open)) {
      sum += in.links.hidden_cost(chain[i - 1], chain[i]);
    } else {
      sum += in.links.visible_link(in.links.exit(chain[i - 1]), to).cost;
    }
    sum += weights.inward_mm * in.inward.cost(chain[i].object, sewn);
    sewn.add(chain[i].object);
    open.remove(chain[i].object);
  }
  return sum;
}

bool keeps(const Precedence& precedence, const std::vector<int>& order) {
  for (std::size_t i = 0; i < order.size(); ++i) {
    for (std::size_t j = i + 1; j < order.size(); ++j) {
      if (precedence.all_before[static_cast<std::size_t>(order[i])].has(order[j])) return false;
    }
  }
  return true;
}

bool keeps_precedence(const Instance& in, const std::vector<int>& order) {
  return keeps(in.precedence, order);
}

// Tucked ends that come after what they butt against.
int n_over(const Instance& in, const std::vector<int>& order) {
  const auto place = [&](int object) { return std::find(order.begin(), order.end(), object); };
  return static_cast<int>(
      std::count_if(in.all_precedence.tucks.begin(), in.all_precedence.tucks.end(),
                    [&](const Arrow& tuck) { return place(tuck.from) > place(tuck.to); }));
}

std::vector<int> order_of(const Chain& chain) {
  std::vector<int> order;
  for (const Stop& stop : chain) order.push_back(stop.object);
  return order;
}

// Oracle: every order that precedence allows, by every combination of ways.
double least_cost(const Instance& in, const Precedence& precedence) {
  std::vector<int> order = in.members;
  double least = 1e300;
  do {
    if (!keeps(precedence, order)) continue;
    for (unsigned ways = 0; ways < 1U << order.size(); ++ways) {  // two ways each
      Chain chain;
      for (std::size_t i = 0; i < order.size(); ++i) {
        chain.push_back({order[i], static_cast<int>(ways >> i & 1)});
      }
      least = std::min(least, cost_of(in, chain));
    }
  } while (std::next_permutation(order.begin(), order.end()));
  return least;
}

TEST(Search, ExactChainsAreAsCheapAsAnyAndWaysAreTheBestForTheirOrder) {
  for (std::uint64_t seed = 1; seed <= 12; ++seed) {
    SCOPED_TRACE(seed);
    const Instance in(visit_objects(seed, 6));
    const double least = least_cost(in, in.precedence);
    const Chain exact = exact_chain(in.judge, in.members);
    EXPECT_NEAR(cost_of(in, exact), least, 1e-6);
    EXPECT_NEAR(cost_of(in, with_best_ways(in.judge, order_of(exact))), least, 1e-6);
    EXPECT_TRUE(keeps_precedence(in, order_of(exact)));
  }
}

// Oracle: every order that keeps what covers, and every order that keeps the tucks too.
TEST(Search, ATuckGivesWayOnlyForMoreThanItIsWorth) {
  int n_given_way = 0, n_kept = 0;
  for (std::uint64_t seed = 1; seed <= 40; ++seed) {
    SCOPED_TRACE(seed);
    std::vector<Object> objects = random_objects(seed, 6, 1);
    add_tucks(seed, 12, objects);
    const Instance in(objects);
    const double least = least_cost(in, in.precedence);
    const double tidy = least_cost(in, in.all_precedence.tidy);
    const Chain exact = exact_chain(in.judge, in.members);
    EXPECT_TRUE(keeps_precedence(in, order_of(exact)));
    EXPECT_NEAR(cost_of(in, exact), least, 1e-6);
    const int over = n_over(in, order_of(exact));
    // What is saved besides is worth the tucks given up.
    EXPECT_GE(tidy - (least - over * in.links.weights().tuck),
              over * in.links.weights().tuck - 1e-6);
    n_given_way += over;
    n_kept += static_cast<int>(in.all_precedence.tucks.size()) - over;
    const Chain found = improved(in.judge, constructed(in.judge, in.members), {100'000, 1});
    EXPECT_TRUE(keeps_precedence(in, order_of(found)));
  }
  EXPECT_GE(n_given_way, 5);
  EXPECT_GT(n_kept, 20);
}

TEST(Search, FindsWhatIsExactlyBestWhereThatIsKnown) {
  int n_equal = 0;
  constexpr int kSeeds = 40;
  for (std::uint64_t seed = 1; seed <= kSeeds; ++seed) {
    SCOPED_TRACE(seed);
    const Instance in(visit_objects(seed, kMostExact));
    const double least = cost_of(in, exact_chain(in.judge, in.members));
    const Chain found = improved(in.judge, constructed(in.judge, in.members), {100'000, 1});
    EXPECT_TRUE(keeps_precedence(in, order_of(found)));
    EXPECT_GE(cost_of(in, found), least - 1e-6);
    n_equal += cost_of(in, found) < least + 1e-6;
  }
  EXPECT_GE(n_equal, kSeeds * 9 / 10);
}

// A bar with teeth: whoever sews the bar before the last tooth must trim.
TEST(Search, PutTogetherFromItsEndClothThatHangsTogetherNeedsNoTrim) {
  constexpr int kTeeth = 10;
  std::vector<Object> objects{object_of(1, 0, 0, box(0, 20, 6.0 * kTeeth, 3))};
  for (int i = 0; i < kTeeth; ++i) {
    objects.push_back(object_of(i + 2, 0, 0, box(6.0 * i + 2, 22, 2, 2)));
  }
  const Instance in(objects);
  const double trim = in.links.weights().trim;
  EXPECT_GT(cost_of(in, constructed(in.judge, in.members)), trim);
  EXPECT_LT(cost_of(in, constructed_backwards(in.judge, in.members)), trim);
  EXPECT_EQ(order_objects(objects, {}).trims, 0);
}

TEST(Search, PutTogetherFromItsEndItKeepsPrecedenceToo) {
  int n_cheaper = 0;
  for (std::uint64_t seed = 1; seed <= 20; ++seed) {
    SCOPED_TRACE(seed);
    const Instance in(visit_objects(seed, 20));
    const Chain chain = constructed_backwards(in.judge, in.members);
    std::vector<int> order = order_of(chain);
    EXPECT_TRUE(keeps_precedence(in, order));
    std::sort(order.begin(), order.end());
    EXPECT_EQ(order, in.members);
    n_cheaper += cost_of(in, chain) < cost_of(in, constructed(in.judge, in.members));
  }
  EXPECT_GT(n_cheaper, 10);
}

TEST(Search, AJudgementIsNeverBetterThanTheTruth) {
  int n_judged = 0;
  for (std::uint64_t seed = 1; seed <= 30; ++seed) {
    SCOPED_TRACE(seed);
    const Instance in(visit_objects(seed, 12));
    Tour tour(in.judge, constructed(in.judge, in.members));
    base::Random random(seed);
    for (int k = 0; k < 200; ++k) {
      EXPECT_NEAR(tour.cost(), cost_of(in, tour.stops()), 1e-6);
      const int first = random.below(tour.size());
      const int last = std::min(tour.size() - 1, first + random.below(3));
      const int behind = random.below(tour.size() + 1) - 1;
      const bool is_turned = random.below(2) == 1;
      const double before = tour.cost();
      if (behind < first - 1 || behind > last) {
        const Shift shift{first, last, behind, is_turned, -1};
        if (!tour.may_shift(shift)) continue;
        const double delta = tour.shift_delta(shift);
        tour.shift(shift);
        if (delta < 0) {
          EXPECT_GE(before + delta, tour.cost() - 1e-6);
        }
      } else {
        if (!tour.may_turn(first, last)) continue;
        const double delta = tour.turn_delta(first, last);
        tour.turn(first, last);
        if (delta < 0) {
          EXPECT_GE(before + delta, tour.cost() - 1e-6);
        }
      }
      ++n_judged;
      EXPECT_TRUE(keeps_precedence(in, order_of(tour.stops())));
    }
  }
  EXPECT_GT(n_judged, 1000);
}

TEST(Search, WhatIsMarkedComesBackWhateverWasChangedSince) {
  int n_changed = 0;
  for (std::uint64_t seed = 1; seed <= 20; ++seed) {
    SCOPED_TRACE(seed);
    const Instance in(visit_objects(seed, 12));
    Tour tour(in.judge, constructed(in.judge, in.members));
    base::Random random(seed);
    for (int k = 0; k < 60; ++k) {
      const Chain marked = tour.stops();
      const double marked_cost = tour.cost();
      for (int change = random.below(4); change >= 0; --change) {
        const int first = random.below(tour.size() - 1), behind = first + 1;
        const Shift shift{first, first, behind, false, -1};
        if (tour.may_shift(shift)) tour.shift(shift);
        if (tour.may_turn(first, behind)) tour.turn(first, behind);
        const int way = random.below(2);
        tour.set_way(random.below(tour.size()), way);
      }
      const double before = tour.cost();
      tour.choose_ways(random.below(4), tour.size() - 2);
      EXPECT_LE(tour.cost(), before + 1e-9);
      EXPECT_NEAR(tour.cost(), cost_of(in, tour.stops()), 1e-6);
      n_changed += tour.stops() != marked;
      if (k % 3 == 0) {
        tour.mark();
        continue;
      }
      tour.go_back();
      EXPECT_EQ(tour.stops(), marked);
      EXPECT_EQ(tour.cost(), marked_cost);
      EXPECT_NEAR(tour.cost(), cost_of(in, tour.stops()), 1e-6);
    }
  }
  EXPECT_GT(n_changed, 300);
}

// Oracle: all ends.
TEST(EndGrid, FindsTheNearestAndForgetsWhatIsRemoved) {
  const Instance in(random_objects(3, 80, 1));
  EndGrid grid(in.links, in.members);
  std::vector<int> left = in.members;
  base::Random random(5);
  const auto mm = [&](int object, geometry::Point p) {
    double least = 1e300;
    for (int w = 0; w < in.links.n_ways(object); ++w) {
      least = std::min({least, geometry::distance(in.links.entry({object, w}), p),
                        geometry::distance(in.links.exit({object, w}), p)});
    }
    return least;
  };
  while (!left.empty()) {
    const double x = random.uniform(-40, 40);
    const geometry::Point p{x, random.uniform(0, 80)};
    const std::vector<int> found = grid.near(p, 5);
    ASSERT_EQ(found.size(), std::min<std::size_t>(5, left.size()));
    std::sort(left.begin(), left.end(), [&](int a, int b) { return mm(a, p) < mm(b, p); });
    for (std::size_t k = 0; k < found.size(); ++k) EXPECT_EQ(found[k], left[k]);
    grid.remove(left.front());
    left.erase(left.begin());
  }
}

// Oracle: every order.
TEST(Bound, OfAPathIsBelowTheShortestAndNear) {
  double sum_bound = 0, sum_least = 0;
  for (std::uint64_t seed = 1; seed <= 20; ++seed) {
    SCOPED_TRACE(seed);
    base::Random random(seed);
    constexpr int kPlaces = 8;
    std::vector<geometry::Point> places;
    for (int i = 0; i < kPlaces; ++i) {
      const double x = random.uniform(0, 100);
      places.push_back({x, random.uniform(0, 100)});
    }
    std::vector<double> cost;
    for (const geometry::Point a : places)
      for (const geometry::Point b : places) cost.push_back(geometry::distance(a, b));
    std::vector<int> order(kPlaces);
    std::iota(order.begin(), order.end(), 0);
    double least = 1e300;
    do {
      double length = 0;
      for (std::size_t i = 1; i < kPlaces; ++i) {
        length += cost[static_cast<std::size_t>(order[i - 1]) * kPlaces +
                       static_cast<std::size_t>(order[i])];
      }
      least = std::min(least, length);
    } while (std::next_permutation(order.begin(), order.end()));
    const double bound = path_bound(cost, kPlaces, 300);
    EXPECT_LE(bound, least + 1e-9);
    sum_bound += bound, sum_least += least;
  }
  EXPECT_GT(sum_bound, 0.97 * sum_least);
}

TEST(Bound, NoOrderThatIsGuessedHasFewerTrimsOrLessTravel) {
  int n_tight = 0;
  for (std::uint64_t seed = 1; seed <= 30; ++seed) {
    SCOPED_TRACE(seed);
    const Instance in(visit_objects(seed, 7));
    const VisitBound bound = bound_of(in.judge, in.members, in.options.trim_mm);
    EXPECT_GE(bound.least_trims, bound.islands - 1);
    const Chain chain = exact_chain(in.judge, in.members);
    ObjectSet open(in.precedence.size());
    for (int o = 0; o < in.precedence.size(); ++o) open.add(o);
    int n_trims = 0;
    double visible_mm = 0;
    for (std::size_t i = 1; i < chain.size(); ++i) {
      open.remove(chain[i - 1].object);
      if (in.links.is_hidden(chain[i - 1], chain[i], open)) continue;
      const LinkGuess link =
          in.links.visible_link(in.links.exit(chain[i - 1]), in.links.entry(chain[i]));
      n_trims += link.link == Link::trim;
      visible_mm += link.mm;
    }
    EXPECT_GE(n_trims, bound.least_trims);
    EXPECT_GE(visible_mm, bound.visible_mm - 1e-9);
    n_tight += n_trims == bound.least_trims;
  }
  EXPECT_GT(n_tight, 10);
}

TEST(Bound, LinksAreMatchedOnceInAndOnceOut) {
  EXPECT_EQ(most_links({{1, 2, 3}, {0}, {0}, {0}}), 2);  // a star: two of its arms
  EXPECT_EQ(most_links({{1}, {2}, {}}), 2);              // a path
  EXPECT_EQ(most_links({{}, {}}), 0);
}

}  // namespace
}  // namespace buckram::sequence
