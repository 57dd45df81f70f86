// An order kept while single objects change.
#include "sequence/boxes.h"

#include <gtest/gtest.h>

#include <set>

namespace buckram::sequence {
namespace {

bool same(const Step& a, const Step& b) {
  return a.object == b.object && a.way == b.way && a.link == b.link && a.travel == b.travel;
}

// Law: with nothing changed the steps are the same. Here all links are laid anew.
TEST(WithOwn, AnObjectThatIsTheSameChangesNothing) {
  int n_hidden = 0;
  for (std::uint64_t seed = 1; seed <= 20; ++seed) {
    const auto objects = random_objects(seed, 14, 3);
    const Order before = order_objects(objects, {});
    // The last object of one way only: nothing to choose, all to be laid.
    auto one_way = objects;
    const Step& last = before.steps.back();
    digitise::Object& object = one_way[static_cast<std::size_t>(last.object)];
    object.ways = {object.ways[static_cast<std::size_t>(last.way)]};
    Order expected = before;
    expected.steps.back().way = 0;
    const Order after = with_own(one_way, expected, {last.object}, {});
    ASSERT_EQ(after.steps.size(), before.steps.size());
    for (std::size_t i = 0; i < after.steps.size(); ++i) {
      EXPECT_TRUE(same(after.steps[i], expected.steps[i])) << "seed " << seed << " step " << i;
      n_hidden += after.steps[i].link == Link::hidden;
    }
    EXPECT_EQ(after.trims, before.trims);
  }
  EXPECT_GT(n_hidden, 20);
}

TEST(WithOwn, OthersKeepTheirPlaceAndTheirWay) {
  for (std::uint64_t seed = 1; seed <= 20; ++seed) {
    const auto objects = random_objects(seed, 12, 2);
    const Order before = order_objects(objects, {});
    auto changed = objects;
    const int which = before.steps[6].object;
    digitise::Object& object = changed[static_cast<std::size_t>(which)];
    for (digitise::Way& way : object.ways) way.entry = way.exit = way.entry + geometry::Point{0, 1};
    const Order after = with_own(changed, before, {which}, {});
    for (std::size_t i = 0; i < after.steps.size(); ++i) {
      EXPECT_EQ(after.steps[i].object, before.steps[i].object);
      EXPECT_TRUE(after.steps[i].object == which || after.steps[i].way == before.steps[i].way);
      // Links that neither begin nor end at it stay.
      const bool is_beside =
          after.steps[i].object == which || (i > 0 && after.steps[i - 1].object == which);
      EXPECT_TRUE(is_beside || same(after.steps[i], before.steps[i])) << "seed " << seed;
    }
  }
}

// Of ends far and near the near one is taken.
TEST(WithOwn, TheWayIsTheOneThatLinksBest) {
  std::vector<digitise::Object> objects{object_of(1, 0, 0, box(-10, 20, 6, 2)),
                                        object_of(2, 0, 1, box(-3.5, 20, 6, 2)),
                                        object_of(3, 0, 2, box(3, 20, 6, 2))};
  Order order = order_objects(objects, {});
  const int middle = order.steps[1].object;
  digitise::Object& object = objects[static_cast<std::size_t>(middle)];
  const geometry::Point a = object.ways[0].entry, b = object.ways[1].entry;
  object.ways = {{b + geometry::Point{0, 40}, b, 0}, {a, b, 1}, {b, a, 2}};
  const Order after = with_own(objects, order, {middle}, {});
  const bool is_rightwards =
      geometry::bounds(objects[static_cast<std::size_t>(order.steps[0].object)].outline).x0 <
      geometry::bounds(object.outline).x0;
  EXPECT_EQ(after.steps[1].way, is_rightwards ? 1 : 2);
}

}  // namespace
}  // namespace buckram::sequence
