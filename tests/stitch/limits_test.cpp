// The craft limits: each rule against a plan that breaks it alone, the crowded disc and Within
// against their definitions.
#include "stitch/plans.h"

#include "support/random_polygons.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>

namespace buckram::stitch::tests {
namespace {

using geometry::Point;

std::vector<std::string> rules(const Plan& plan, const std::vector<ObjectOutline>& outlines = {}) {
  std::vector<std::string> all;
  for (const Breach& breach : breaches(plan, {}, outlines)) all.push_back(breach.rule);
  return all;
}

// A locked run through the points, cut at its end.
Plan run_through(const std::vector<Point>& points) {
  Builder b(two_threads(), {{1, Kind::run, 0, "rope"}});
  const auto lock = [&b](Point at) {
    b.begin(1, Layer::lock);
    for (const double x : {0.0, 0.8, 0.0}) b.sew(at + Point{x, 0});
  };
  lock(points.front());
  b.begin(1, Layer::top);
  for (std::size_t i = 1; i + 1 < points.size(); ++i) b.sew(points[i]);
  lock(points.back());
  return b.finish();
}

// Only the entries' form: holes of the top layer, nothing locked.
Plan bare_holes(const std::vector<Point>& holes) {
  Builder b(two_threads(), {{1, Kind::column, 0, "mast"}});
  b.begin(1, Layer::top);
  for (const Point hole : holes) b.sew(hole);
  return b.finish();
}

TEST(Limits, ASoundPlanBreaksNone) {
  EXPECT_EQ(rules(sound_plan()), std::vector<std::string>{});
  EXPECT_EQ(rules(run_through({{0, 20}, {3, 20}, {6, 20}, {9, 20}, {12, 20}})),
            std::vector<std::string>{});
}

TEST(Limits, EachRuleOfLengthIsSaidWithValueAndLimit) {
  const auto said = [](const std::vector<Point>& points) {
    const std::vector<std::string> all = rules(run_through(points));
    EXPECT_EQ(all.size(), 1U);
    return all.empty() ? "" : all.front();
  };
  EXPECT_EQ(said({{0, 20}, {3, 20}, {10.2, 20}, {13, 20}, {15, 20}}),
            "stitch of 7.20 mm is longer than 7 mm");
  EXPECT_EQ(said({{0, 20}, {3, 20}, {6, 20}, {6.5, 20}, {9, 20}, {12, 20}, {15, 20}}),
            "stitch of 0.50 mm is shorter than 0.8 mm");
  EXPECT_EQ(said({{0, 20}, {3, 20}, {6, 20}, {6.2, 20}, {9, 20}, {12, 20}, {15, 20}}),
            "stitch of 0.20 mm is shorter than 0.25 mm");
}

TEST(Limits, EveryThreadIsLockedAndTrimmed) {
  Builder b(two_threads(), {{1, Kind::run, 0, "rope"}});
  b.begin(1, Layer::top);
  for (int k = 0; k < 5; ++k) b.sew({2.0 * k, 20});
  Plan plan = b.finish();
  EXPECT_EQ(rules(plan), (std::vector<std::string>{"the thread starts without a lock",
                                                   "the thread is cut without a lock"}));
  const auto trim = std::find(plan.op.begin(), plan.op.end(), Op::trim);
  *trim = Op::stop;  // of the same form, but the thread hangs on
  EXPECT_EQ(rules(plan),
            (std::vector<std::string>{"the thread starts without a lock",
                                      "the thread is not trimmed before a change or the end"}));
}

TEST(Limits, ThreadPastTheOutlineIsFoundUnlessItTravels) {
  const std::vector<ObjectOutline> outlines{{1, {{test::rectangle(-1, 19.5, 10, 20.5), {}}}}};
  const Plan inside = run_through({{0, 20}, {3, 20}, {6, 20}, {9, 20}});
  EXPECT_EQ(rules(inside, outlines), std::vector<std::string>{});
  // The thread's edge lies 0.2 mm from its middle: 0.3 mm past the outline is at 20.6.
  const Plan just = run_through({{0, 20}, {3, 20.6}, {6, 20}, {9, 20}});
  EXPECT_EQ(rules(just, outlines), std::vector<std::string>{});
  Plan past = run_through({{0, 20}, {3, 20.7}, {6, 20}, {9, 20}});
  EXPECT_EQ(
      rules(past, outlines),
      std::vector<std::string>(2, "the thread's edge lies more than 0.3 mm past the outline"));
  for (Block& block : past.blocks) {
    if (block.layer == Layer::top) block.layer = Layer::travel;
  }
  EXPECT_EQ(rules(past, outlines), std::vector<std::string>{});
}

// The most points in a closed disc of 1 mm with `p` on its rim, by definition: such a disc can be
// turned about p until it has a second point on its rim, or p is alone.
int fullest_by_definition(Point p, const std::vector<Point>& all) {
  constexpr double kDiameter = 1, kTouch = 1e-9;
  const auto n_in = [&](Point middle) {
    return static_cast<int>(std::count_if(all.begin(), all.end(), [&](Point q) {
      return geometry::distance(middle, q) <= kDiameter / 2 + kTouch;
    }));
  };
  int most = n_in(p + Point{kDiameter / 2, 0});
  for (const Point q : all) {
    const double d = geometry::distance(p, q);
    if (d == 0 || d > kDiameter) continue;
    const Point middle = geometry::mix(p, q, 0.5),
                across = geometry::left_of(geometry::unit(q - p));
    const double h = std::sqrt(kDiameter * kDiameter - d * d) / 2;
    most = std::max({most, n_in(middle + across * h), n_in(middle - across * h)});
  }
  return most;
}

TEST(Limits, CrowdedDiscsAreThoseOfTheDefinition) {
  int n_crowded = 0, n_free = 0;
  for (std::uint64_t seed = 1; seed <= 60; ++seed) {
    SCOPED_TRACE(seed);
    base::Random random(seed);
    std::vector<Point> holes;
    const double size_mm = random.uniform(1, 5);
    const int n = 20 + random.below(50);
    for (int k = 0; k < n; ++k) {
      const double x = random.uniform(0, size_mm), y = random.uniform(20, 20 + size_mm);
      holes.push_back(rounded({x, y}));
      if (random.below(8) == 0) holes.push_back(holes.back());  // twice in the same place
    }
    const Plan plan = bare_holes(holes);
    Limits limits;
    limits.most_in_disc = 6;
    limits.shortest_any_mm = limits.shortest_mm = 0;  // no breach but of crowding and locks
    std::map<int, std::string> found;
    for (const Breach& breach : breaches(plan, limits, {})) {
      if (breach.rule.find("penetrations") != std::string::npos) found[breach.entry] = breach.rule;
    }
    for (int i = 0; i < static_cast<int>(holes.size()); ++i) {
      const int most = fullest_by_definition(holes[static_cast<std::size_t>(i)], holes);
      const std::string wanted =
          most <= 6 ? "" : fmt::format("{} penetrations within 1 mm are more than 6", most);
      EXPECT_EQ(found[i], wanted) << "entry " << i;
      ++(wanted.empty() ? n_free : n_crowded);
    }
  }
  EXPECT_GT(n_crowded, 500);
  EXPECT_GT(n_free, 500);
}

// Every hole of 200,000 in two places lies in a crowded disc: 20 thousand million pairs. Only the
// hundred that are reported may be looked at.
TEST(Limits, ManyHolesInOnePlaceAreSaidAtOnce) {
  std::vector<Point> holes;
  for (int k = 0; k < 200'000; ++k) holes.push_back({k % 2 * 1.5, 20 + 1e-3 * (k % 7)});
  const std::vector<Breach> found = breaches(bare_holes(holes), {}, {});
  EXPECT_EQ(found.size(), 100U);
}

TEST(Limits, TheFirstHundredAreReportedInOrder) {
  std::vector<Point> holes;
  for (int k = 0; k < 400; ++k) holes.push_back({k % 2 * 0.1, 20});
  const std::vector<Breach> found = breaches(bare_holes(holes), {}, {});
  ASSERT_EQ(found.size(), 100U);
  EXPECT_TRUE(std::is_sorted(found.begin(), found.end(),
                             [](const Breach& a, const Breach& b) { return a.entry < b.entry; }));
  EXPECT_EQ(found.front().entry, 0);
}

TEST(RefuseBreaches, NamesTheFirstAndHowMany) {
  const Plan plan = run_through({{0, 20}, {3, 20}, {11, 20}, {20, 20}, {22, 20}});
  const std::vector<Breach> found = breaches(plan, {}, {});
  ASSERT_EQ(found.size(), 2U);
  const auto thrown = [&](const std::vector<Breach>& some) {
    try {
      refuse_breaches(plan, some);
    } catch (const base::Error& error) {
      EXPECT_EQ(error.code, base::ErrorCode::limit_broken);
      EXPECT_FALSE(error.hint.empty());
      return error.where + ": " + error.what;
    }
    return std::string("nothing");
  };
  EXPECT_EQ(thrown({}), "nothing");
  EXPECT_EQ(thrown({found.front()}),
            "object 1 (rope) at 11.0, 20.0 mm: stitch of 8.00 mm is longer than 7 mm");
  EXPECT_EQ(thrown(found),
            "object 1 (rope) at 11.0, 20.0 mm: stitch of 8.00 mm is longer than 7 "
            "mm; 2 places break a limit");
  EXPECT_NE(thrown(std::vector<Breach>(100, found.front())).find("; at least 100 places"),
            std::string::npos);
}

// By definition: both ends inside, no edge crossed.
bool stays_by_definition(Point p, Point q, const geometry::Polygons& area) {
  const auto side = [](Point a, Point b, Point c) { return geometry::cross(b - a, c - a) > 0; };
  const auto crosses = [&](const geometry::Ring& ring) {
    for (std::size_t i = 0; i < ring.size(); ++i) {
      const Point a = ring[i], b = ring[(i + 1) % ring.size()];
      if (side(p, q, a) != side(p, q, b) && side(a, b, p) != side(a, b, q)) return true;
    }
    return false;
  };
  for (const geometry::Polygon& polygon : area) {
    if (crosses(polygon.outer)) return false;
    if (std::any_of(polygon.holes.begin(), polygon.holes.end(), crosses)) return false;
  }
  return geometry::contains(area, p) && geometry::contains(area, q);
}

TEST(Within, AnswersAsTheOutlineItselfDoes) {
  int n_in = 0, n_out = 0, n_crossing = 0, n_staying = 0;
  for (std::uint64_t seed = 1; seed <= 60; ++seed) {
    SCOPED_TRACE(seed);
    base::Random random(seed);
    const double size_mm = seed % 3 == 0 ? 0.5 : seed % 3 == 1 ? 20 : 400;
    geometry::Polygons area{test::holed_star(random, 5 + random.below(60), size_mm)};
    if (seed % 4 == 0)
      area.push_back({test::rectangle(2 * size_mm, 0, 2.5 * size_mm, size_mm), {}});
    const Within within(area);
    for (int k = 0; k < 200; ++k) {
      const double px = random.uniform(-1.2, 2.6), py = random.uniform(-1.2, 1.2);
      const double qx = random.uniform(-0.5, 0.5), qy = random.uniform(-0.5, 0.5);
      const Point p = Point{px, py} * size_mm, q = p + Point{qx, qy} * size_mm;
      const bool is_in = geometry::contains(area, p), stays = stays_by_definition(p, q, area);
      EXPECT_EQ(within.contains(p), is_in) << p.x << ", " << p.y;
      EXPECT_EQ(within.contains(p, q), stays) << p.x << ", " << p.y << " to " << q.x << ", " << q.y;
      ++(is_in ? n_in : n_out);
      n_staying += stays;
      n_crossing += is_in && geometry::contains(area, q) && !stays;
    }
  }
  EXPECT_GT(n_in, 1000);
  EXPECT_GT(n_out, 1000);
  EXPECT_GT(n_staying, 500);
  EXPECT_GT(n_crossing, 100);
}

TEST(Within, NothingLiesInNothing) {
  const Within within(geometry::Polygons{});
  EXPECT_FALSE(within.contains({0, 0}));
  EXPECT_FALSE(within.contains({0, 0}, {1, 0}));
}

}  // namespace
}  // namespace buckram::stitch::tests
