#include "sequence/sequence.h"

#include "sequence/boxes.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

namespace buckram::sequence {
namespace {

using digitise::Object;
using geometry::Point;

bool overlap(const Object& a, const Object& b) {
  return geometry::area(geometry::intersect(a.outline, b.outline)) > 0.05;
}

std::vector<int> places(const Order& order, std::size_t n) {
  std::vector<int> place(n, -1);
  for (std::size_t k = 0; k < order.steps.size(); ++k) {
    place[static_cast<std::size_t>(order.steps[k].object)] = static_cast<int>(k);
  }
  return place;
}

int changes(const std::vector<Object>& objects, const std::vector<int>& sequence) {
  int n = 0;
  for (std::size_t k = 1; k < sequence.size(); ++k) {
    n += objects[static_cast<std::size_t>(sequence[k])].thread !=
         objects[static_cast<std::size_t>(sequence[k - 1])].thread;
  }
  return n;
}

class EveryMode : public testing::TestWithParam<Mode> {};
INSTANTIATE_TEST_SUITE_P(All, EveryMode,
                         testing::Values(Mode::planned, Mode::given, Mode::inward, Mode::across));

TEST_P(EveryMode, EveryObjectOnceAndNothingUnderWhatLiesOnIt) {
  int n_pairs = 0, n_tucks = 0;
  for (std::uint64_t seed = 1; seed <= 12; ++seed) {
    SCOPED_TRACE(seed);
    std::vector<Object> objects = random_objects(seed, 14, 3);
    add_tucks(seed, 10, objects);
    OrderOptions options;
    options.mode = GetParam();
    const Order order = order_objects(objects, options);
    EXPECT_TRUE(GetParam() == Mode::planned || order.n_tucks_over == 0);
    n_tucks += order.n_tucks;
    ASSERT_EQ(order.steps.size(), objects.size());
    const std::vector<int> place = places(order, objects.size());
    EXPECT_EQ(std::count(place.begin(), place.end(), -1), 0);
    for (std::size_t a = 0; a < objects.size(); ++a) {
      for (std::size_t b = a + 1; b < objects.size(); ++b) {
        if (!overlap(objects[a], objects[b])) continue;
        ++n_pairs;
        EXPECT_LT(place[a], place[b]) << a << " lies under " << b;
      }
    }
  }
  EXPECT_GT(n_pairs, 50);
  EXPECT_GT(n_tucks, 20);
}

// Oracle: every order that keeps precedence.
TEST(Order, ThreadChangesAreTheFewestThatPrecedenceAllows) {
  int n_forced = 0;
  for (std::uint64_t seed = 1; seed <= 80; ++seed) {
    SCOPED_TRACE(seed);
    const std::vector<Object> objects = random_objects(seed, 7, 3);
    std::vector<int> sequence(objects.size());
    for (std::size_t i = 0; i < sequence.size(); ++i) sequence[i] = static_cast<int>(i);
    int least = 99;
    std::set<int> threads;
    for (const Object& o : objects) threads.insert(o.thread);
    do {
      bool keeps = true;
      for (std::size_t i = 0; keeps && i < sequence.size(); ++i) {
        for (std::size_t j = i + 1; keeps && j < sequence.size(); ++j) {
          keeps =
              sequence[i] < sequence[j] || !overlap(objects[static_cast<std::size_t>(sequence[i])],
                                                    objects[static_cast<std::size_t>(sequence[j])]);
        }
      }
      if (keeps) least = std::min(least, changes(objects, sequence));
    } while (std::next_permutation(sequence.begin(), sequence.end()));
    const Order order = order_objects(objects, {});
    EXPECT_EQ(order.least_thread_changes, least);
    EXPECT_EQ(order.thread_changes, least);
    n_forced += least > static_cast<int>(threads.size()) - 1;
  }
  EXPECT_GT(n_forced, 3) << "some orders force a thread to come back";
}

TEST(Order, AnObjectNamedInAfterComesFirst) {
  std::vector<Object> objects{object_of(1, 0, 0, box(0, 20, 6, 3)),
                              object_of(2, 0, 0, box(10, 20, 6, 3)),
                              object_of(3, 0, 0, box(20, 20, 6, 3))};
  objects[0].after = {3};
  const std::vector<int> place = places(order_objects(objects, {}), 3);
  EXPECT_LT(place[2], place[0]);
}

// An end tucked under its neighbour.
TEST(Order, ATuckIsKeptWhereItCostsNothingAndGivesWayForATrim) {
  std::vector<Object> objects = two_uprights_and_a_bar();
  const Order order = order_objects(objects, {});
  EXPECT_EQ(order.trims, 0);
  EXPECT_EQ(order.n_tucks, 2);
  EXPECT_EQ(order.n_tucks_over, 1);
  for (Object& object : objects) object.tucked.clear();  // the bar must come first then
  const Order strict = order_objects(objects, {});
  EXPECT_EQ(strict.trims, 1);
  EXPECT_EQ(strict.n_tucks, 0);

  objects = two_uprights_and_a_bar();
  objects.push_back(object_of(4, 1, 1, box(-8, 18, 16, 16)));  // hides the way between uprights
  const Order covered = order_objects(objects, {});
  EXPECT_EQ(covered.trims, 0);
  EXPECT_EQ(covered.n_tucks, 2);
  EXPECT_EQ(covered.n_tucks_over, 0);
}

// Oracle: every order that keeps what covers, or that and the tucks.
TEST(Order, ATuckNeverCostsAThreadChange) {
  int n_over = 0;
  for (std::uint64_t seed = 1; seed <= 60; ++seed) {
    SCOPED_TRACE(seed);
    std::vector<Object> objects = random_objects(seed, 7, 3);
    const Order without = order_objects(objects, {});
    add_tucks(seed, 8, objects);
    const Order with = order_objects(objects, {});
    EXPECT_EQ(with.thread_changes, without.least_thread_changes);
    EXPECT_EQ(with.least_thread_changes, without.least_thread_changes);
    n_over += with.n_tucks_over;
  }
  EXPECT_GT(n_over, 10);
}

TEST(Order, TravelIsHiddenUnderWhatIsSewnLater) {
  // Two bars of one thread far apart, both under one large later patch of another thread.
  const std::vector<Object> objects{object_of(1, 0, 0, box(-20, 20, 8, 3)),
                                    object_of(2, 0, 1, box(12, 20, 8, 3)),
                                    object_of(3, 1, 2, box(-22, 18, 44, 8))};
  const Order order = order_objects(objects, {});
  EXPECT_EQ(order.trims, 0);
  int n_hidden = 0;
  for (const Step& step : order.steps) {
    n_hidden += step.link == Link::hidden;
    for (const Point p : step.travel) EXPECT_TRUE(geometry::contains(objects[2].outline, p));
  }
  EXPECT_EQ(n_hidden, 1);
}

TEST(Order, FarApartOnBareClothIsTrimmedNearIsNot) {
  const std::vector<Object> far{object_of(1, 0, 0, box(-20, 20, 6, 2)),
                                object_of(2, 0, 1, box(14, 20, 6, 2))};
  EXPECT_EQ(order_objects(far, {}).trims, 1);
  const std::vector<Object> near{object_of(1, 0, 0, box(-20, 20, 6, 2)),
                                 object_of(2, 0, 1, box(-12.5, 20, 6, 2))};
  EXPECT_EQ(order_objects(near, {}).trims, 0);
}

TEST(Order, SameInputSameOrder) {
  const std::vector<Object> objects = random_objects(4, 20, 4);
  const Order a = order_objects(objects, {}), b = order_objects(objects, {});
  ASSERT_EQ(a.steps.size(), b.steps.size());
  for (std::size_t i = 0; i < a.steps.size(); ++i) {
    EXPECT_EQ(a.steps[i].object, b.steps[i].object);
    EXPECT_EQ(a.steps[i].way, b.steps[i].way);
    EXPECT_EQ(a.steps[i].travel, b.steps[i].travel);
  }
}

std::vector<artwork::Thread> threads(int n) {
  std::vector<artwork::Thread> all;
  for (int i = 0; i < n; ++i) all.push_back({"Thread " + std::to_string(i), "T", {}, 27});
  return all;
}

TEST(Lay, ThePlanHasItsFormAndKeepsItsLimits) {
  int n_trims = 0;
  for (std::uint64_t seed = 1; seed <= 20; ++seed) {
    SCOPED_TRACE(seed);
    const std::vector<Object> objects = random_objects(seed, 12, 3);
    const Order order = order_objects(objects, {});
    const stitch::Plan plan = lay(objects, order, threads(3), digitise::Recipe{});
    EXPECT_NO_THROW(stitch::check_form(plan));
    std::vector<stitch::ObjectOutline> outlines;
    for (const Object& o : objects) outlines.push_back({o.id, o.outline});
    const auto found = stitch::breaches(plan, {}, outlines);
    EXPECT_TRUE(found.empty()) << found.front().rule;
    const stitch::Counts counts = stitch::count(plan);
    EXPECT_EQ(counts.thread_changes, order.thread_changes);
    // One before each change, one at the end, and those between.
    EXPECT_EQ(counts.trims, order.trims + order.thread_changes + 1);
    n_trims += counts.trims;
  }
  EXPECT_GT(n_trims, 20);
}

int n_locks(const stitch::Plan& plan) {
  return static_cast<int>(
      std::count_if(plan.blocks.begin(), plan.blocks.end(),
                    [](const stitch::Block& b) { return b.layer == stitch::Layer::lock; }));
}

// Locks where thread is cut; one between objects joined by a move in sight, none where it is
// hidden.
TEST(Lay, OneLockHoldsAMoveInSightAndNoneIsNeededUnderLaterCloth) {
  const auto laid = [](const std::vector<Object>& objects) {
    return lay(objects, order_objects(objects, {}), threads(2), digitise::Recipe{});
  };
  const int alone = n_locks(laid({object_of(1, 0, 0, box(-20, 20, 8, 3))}));
  EXPECT_GT(alone, 0);
  const std::vector<Object> stepped{object_of(1, 0, 0, box(-20, 20, 8, 3)),
                                    object_of(2, 0, 0, box(-11, 20, 8, 3))};
  ASSERT_EQ(order_objects(stepped, {}).trims, 0);
  EXPECT_EQ(n_locks(laid(stepped)), alone + 1);
  std::vector<Object> hidden{object_of(1, 0, 0, box(-20, 20, 8, 3)),
                             object_of(2, 0, 1, box(12, 20, 8, 3)),
                             object_of(3, 1, 2, box(-22, 18, 44, 8))};
  ASSERT_EQ(order_objects(hidden, {}).trims, 0);
  EXPECT_EQ(n_locks(laid(hidden)), 2 * alone);  // two threads
}

TEST(Lay, NeedlesAreNumberedByFirstUse) {
  const std::vector<Object> objects = random_objects(9, 10, 3);
  const stitch::Plan plan = lay(objects, order_objects(objects, {}), threads(3), {});
  std::vector<int> seen;
  for (const stitch::Block& block : plan.blocks) {
    const int needle = plan.threads[static_cast<std::size_t>(block.thread)].needle;
    if (std::find(seen.begin(), seen.end(), needle) == seen.end()) seen.push_back(needle);
  }
  EXPECT_TRUE(std::is_sorted(seen.begin(), seen.end()));
  EXPECT_EQ(seen.front(), 1);
}

// n boxes of one thread in rows, near enough for a step but never touching.
std::vector<Object> field(int n) {
  std::vector<Object> objects;
  const int across = static_cast<int>(std::ceil(std::sqrt(n)));
  for (int i = 0; i < n; ++i) {
    objects.push_back(
        object_of(i + 1, 0, i, box(i % across * 2.0 - across, 16 + i / across * 2.0, 1.2, 1)));
  }
  return objects;
}

TEST(Order, StopsWhereItIsToldTo) {
  const std::vector<Object> objects = field(700);
  int n_reports = 0;
  order_objects(objects, {}, {[&](std::string_view, double) { ++n_reports; }, nullptr});
  EXPECT_GT(n_reports, 50);
  for (const int last : {1, 10, n_reports / 2, n_reports - 1}) {
    base::StopFlag stop{false};
    int n = 0;
    const auto count = [&](std::string_view, double) { stop = ++n >= last; };
    try {
      order_objects(objects, {}, {count, &stop});
      ADD_FAILURE() << "went on after report " << last;
    } catch (const base::Error& error) {
      EXPECT_EQ(error.code, base::ErrorCode::cancelled);
    }
    EXPECT_EQ(n, last);
  }
}

TEST(SlowOrder, ThousandsOfObjectsAndTheBoundThatIsNotAskedForIsSaid) {
  for (const int n : {1999, 2101}) {
    const std::vector<Object> objects = field(n);
    const Order order = order_objects(objects, {});
    const std::vector<int> place = places(order, objects.size());
    EXPECT_EQ(std::count(place.begin(), place.end(), -1), 0);
    EXPECT_EQ(order.n_unbounded_visits, n > 2000 ? 1 : 0);
    EXPECT_LT(order.trims, n / 10);
  }
}

}  // namespace
}  // namespace buckram::sequence
