// Plans through every shipped layout and back: nothing lost, every place within half a unit, the
// cap upright.
#include "machine/layout_sample.h"
#include "machine/sample.h"

#include <gtest/gtest.h>

namespace buckram::machine {
namespace {

using stitch::Op;

// What the machine is told, without how: where each operation happens, in units.
struct Told {
  Op op;
  long long x, y;
  int needle;  // that sews, 0 before the first change
  bool operator==(const Told&) const = default;
};

// By the definition in layout_file.h: moves in a row are one; those before all else that end at the
// start, and those that end there before the end, are not the plan's; trims where there are any.
std::vector<Told> told_by(const stitch::Plan& plan, const Layout& layout, bool names_needles) {
  std::vector<Told> all;
  int needle = 0, n_changes = 0;
  for (const stitch::Block& block : plan.blocks) {
    for (int i = block.first; i < block.first + block.count; ++i) {
      const auto k = static_cast<std::size_t>(i);
      if (plan.op[k] == Op::trim && !does(layout, Op::trim)) continue;
      if (plan.op[k] == Op::change) {
        ++n_changes;
        const auto thread = static_cast<std::size_t>(block.thread);
        needle = names_needles ? plan.threads[thread].needle : n_changes;
      }
      if (plan.op[k] == Op::move && !all.empty() && all.back().op == Op::move) all.pop_back();
      all.push_back({plan.op[k], std::llround(plan.x[k] / layout.unit_mm),
                     std::llround(plan.y[k] / layout.unit_mm), needle});
    }
  }
  const auto is_home = [](const Told& t) { return t.op == Op::move && t.x == 0 && t.y == 0; };
  if (is_home(all.front())) all.erase(all.begin());
  if (all.size() > 1 && is_home(all[all.size() - 2])) all.erase(all.end() - 2);
  all.back() = {Op::end, 0, 0, needle};
  return all;
}

bool names_needles(const Layout& layout) {
  for (const Operation& operation : layout.operations) {
    for (const RecordForm& form : operation.records) {
      if (form.needle) return true;
    }
  }
  return false;
}

class RandomPlan {
 public:
  RandomPlan(const Layout& layout, int longest, base::Random& random)
      : layout_(layout), random_(random), longest_(longest) {}

  stitch::Plan make(int n_blocks, int n_entries) {
    int needle = random_.below(15);
    for (int b = 0; b < n_blocks; ++b) {
      needle = (needle + 1 + random_.below(13)) % 15;
      plan_.threads.push_back({.name = "t", .rgb = "#22303c", .needle = needle + 1});
      plan_.objects.push_back({.id = b + 1, .thread = b});
      const int first = plan_.size();
      if (b > 0) put(Op::change);
      for (int i = 0; i < n_entries; ++i) entry();
      put(Op::sew);
      if (b + 1 == n_blocks) put(Op::end);
      plan_.blocks.push_back(
          {.object = b + 1, .thread = b, .first = first, .count = plan_.size() - first});
    }
    return std::move(plan_);
  }

 private:
  void entry() {
    const int dice = random_.below(16);
    if (dice == 0) {
      put(Op::trim);
    } else if (dice == 1) {
      put(Op::stop);
    } else if (dice < 5) {
      go(Op::move, dice == 4 ? 40 * longest_ : longest_);
    } else {
      go(Op::sew, dice < 8 ? longest_ : std::min(longest_, 40));
    }
  }

  void go(Op op, int reach) {
    // Home again now and then: moves that end at the start are the hard case.
    if (op == Op::move && random_.below(8) == 0) {
      x_ = y_ = 0;
    } else {
      const int dx = random_.below(2 * reach + 1) - reach;
      const int dy = random_.below(2 * reach + 1) - reach;
      const long long most = std::llround(900 / layout_.unit_mm);
      if (std::abs(x_ + dx) < most) x_ += dx;
      if (std::abs(y_ + dy) < most) y_ += dy;
    }
    put(op);
  }

  void put(Op op) {
    plan_.x.push_back(static_cast<double>(x_) * layout_.unit_mm);
    plan_.y.push_back(static_cast<double>(y_) * layout_.unit_mm);
    plan_.op.push_back(op);
  }

  const Layout& layout_;
  base::Random& random_;
  int longest_;
  long long x_ = 0, y_ = 0;
  stitch::Plan plan_;
};

int longest_stitch(const Layout& layout) {
  int longest = 0;
  for (const OperationRange& range : ranges_of(layout)) {
    if (range.does == Op::sew) longest = std::max(longest, range.x.high);
  }
  return longest;
}

class EachLayout : public testing::TestWithParam<const char*> {
 protected:
  Layout layout() const { return shipped(GetParam()); }
};

INSTANTIATE_TEST_SUITE_P(Shipped, EachLayout, testing::ValuesIn(kShipped), [](const auto& each) {
  std::string name = each.param;
  std::replace(name.begin(), name.end(), '-', '_');
  return name;
});

TEST_P(EachLayout, TenThousandRandomPlansComeBackExactly) {
  const Layout l = layout();
  const bool needles = names_needles(l);
  const int longest = longest_stitch(l);
  const MachineMap map(flat_setup());
  base::Random random(20);
  int n_stops = 0, n_split = 0;
  for (int k = 0; k < 10'000; ++k) {
    const int n_blocks = 1 + random.below(3), n_entries = 1 + random.below(12);
    const stitch::Plan plan = RandomPlan(l, longest, random).make(n_blocks, n_entries);
    stitch::check_form(plan);
    const LayoutPlan back = read_with(l, write_with(l, plan, map), "t", map);
    EXPECT_TRUE(back.disagreements.empty());
    const std::vector<Told> wanted = told_by(plan, l, needles);
    std::vector<Told> got = told_by(back.plan, l, needles);
    ASSERT_EQ(got.size(), wanted.size()) << "plan " << k;
    for (std::size_t i = 0; i + 1 < got.size(); ++i) {
      ASSERT_TRUE(got[i] == wanted[i])
          << "plan " << k << " entry " << i << ": " << static_cast<char>(got[i].op) << ' '
          << got[i].x << ' ' << got[i].y << ' ' << got[i].needle << " wanted "
          << static_cast<char>(wanted[i].op) << ' ' << wanted[i].x << ' ' << wanted[i].y << ' '
          << wanted[i].needle;
    }
    n_stops += stitch::count(plan).stops > 0 ? 1 : 0;
    n_split += back.plan.size() < plan.size() ? 1 : 0;
  }
  EXPECT_GT(n_stops, 1000);  // the hard cases were met
  EXPECT_GT(n_split, 100);
}

TEST_P(EachLayout, AMillionStitchesEndWithinHalfAUnit) {
  const Layout l = layout();
  const MachineMap map(flat_setup());
  base::Random random(7);
  stitch::Plan plan;
  plan.threads = {{.name = "t", .rgb = "#22303c"}};
  plan.objects = {{.id = 1}};
  double x = 0, y = 0;
  const int n = 1'000'000;
  for (int i = 0; i < n; ++i) {
    // Steps of thirds of a unit: every one is rounded.
    x = std::clamp(x + random.uniform(-0.7, 0.7), -60.0, 60.0);
    y = std::clamp(y + random.uniform(-0.7, 0.7), -60.0, 60.0);
    plan.x.push_back(x);
    plan.y.push_back(y);
    plan.op.push_back(i + 1 < n ? Op::sew : Op::end);
  }
  plan.x.back() = plan.x[plan.x.size() - 2];
  plan.y.back() = plan.y[plan.y.size() - 2];
  plan.blocks = {{.object = 1, .first = 0, .count = n}};
  const StepFile file = read_steps(l, write_with(l, plan, map), "t");
  long long at_x = 0, at_y = 0;
  std::size_t i = 0;
  double worst = 0;
  for (const Step& step : file.decoded.steps) {
    at_x += step.dx;
    at_y += step.dy;
    if (step.op != Op::sew) continue;
    worst = std::max({worst, std::abs(static_cast<double>(at_x) - plan.x[i] / l.unit_mm),
                      std::abs(static_cast<double>(at_y) - plan.y[i] / l.unit_mm)});
    ++i;
  }
  EXPECT_EQ(i, static_cast<std::size_t>(n - 1));
  EXPECT_LE(worst, 0.5 + 1e-9);
  EXPECT_GT(worst, 0.49);  // rounding did take place
  EXPECT_EQ(at_x, 0);      // and home
  EXPECT_EQ(at_y, 0);
}

TEST_P(EachLayout, LongStitchesBecomeMovesAndAStitchAtTheirEnd) {
  const Layout l = layout();
  stitch::Plan plan;
  plan.threads = {{.name = "t", .rgb = "#22303c"}};
  plan.objects = {{.id = 1}};
  plan.x = {0, 1, 301, 301};
  plan.y = {0, 1, -200, -200};
  plan.op = {Op::sew, Op::sew, Op::sew, Op::end};
  plan.blocks = {{.object = 1, .first = 0, .count = 4}};
  const StepFile file = read_steps(l, write_with(l, plan, MachineMap(flat_setup())), "t");
  std::vector<Step> sews;
  std::size_t n_moves = 0;
  int longest = 0, shortest = 1 << 30;
  for (const Step& step : file.decoded.steps) {
    if (step.op == Op::sew) sews.push_back(step);
    if (step.op == Op::sew && sews.size() == 3) break;
    if (step.op != Op::move) continue;
    ++n_moves;
    longest = std::max(longest, step.dx);
    shortest = std::min(shortest, step.dx);
  }
  ASSERT_EQ(sews.size(), 3U);
  EXPECT_GE(n_moves, 2U);
  EXPECT_LE(longest - shortest, 1);  // of equal length
  EXPECT_NEAR(sews[2].dx, longest, 1);
}

struct WayUp {
  const char* layout;
  double turn_deg;
  cap::TurnedBy by;
};

class EachWayUpOfLayouts : public testing::TestWithParam<WayUp> {};

std::vector<WayUp> ways_up() {
  std::vector<WayUp> all;
  for (const char* name : kShipped) {
    for (const double turn : {0.0, 180.0}) {
      all.push_back({name, turn, cap::TurnedBy::file});
      all.push_back({name, turn, cap::TurnedBy::controller});
    }
  }
  return all;
}

INSTANTIATE_TEST_SUITE_P(All, EachWayUpOfLayouts, testing::ValuesIn(ways_up()));

TEST_P(EachWayUpOfLayouts, DrawnCapIsUpright) {
  const Layout l = shipped(GetParam().layout);
  const MachineMap map(setup_for(cap::MountKind::rotary, GetParam().turn_deg, GetParam().by));
  const std::string bytes = write_with(l, sample_plan(), map);
  const stitch::Plan back = read_with(l, bytes, "t", map).plan;
  std::vector<geometry::Point> sewn, wanted;
  for (int i = 0; i < back.size(); ++i) {
    if (back.op[static_cast<std::size_t>(i)] == Op::sew) sewn.push_back(back.at(i));
  }
  const stitch::Plan plan = sample_plan();
  for (int i = 0; i < plan.size(); ++i) {
    if (plan.op[static_cast<std::size_t>(i)] == Op::sew) wanted.push_back(plan.at(i));
  }
  ASSERT_EQ(sewn.size(), wanted.size());
  // Half a unit on the machine; the crown narrows upwards and magnifies it on the chart.
  for (std::size_t i = 0; i < sewn.size(); ++i) {
    EXPECT_NEAR(sewn[i].x, wanted[i].x, 0.7 * l.unit_mm) << i;
    EXPECT_NEAR(sewn[i].y, wanted[i].y, 0.7 * l.unit_mm) << i;
  }
  // In the file itself the stem goes up, or down where the file turns it.
  const StepFile file = read_steps(l, bytes, "t");
  long long dy = 0;
  int n = 0;
  for (const Step& step : file.decoded.steps) {
    if (step.op != Op::sew || ++n == 1) continue;
    if (n > 21) break;
    dy += step.dy;
  }
  const bool is_turned = GetParam().turn_deg == 180 && GetParam().by == cap::TurnedBy::file;
  EXPECT_EQ(dy < 0, is_turned);
}

TEST_P(EachWayUpOfLayouts, StartsAndEndsAtTheOriginAndWalksTheBox) {
  const Layout l = shipped(GetParam().layout);
  const MachineMap map(setup_for(cap::MountKind::rotary, GetParam().turn_deg, GetParam().by));
  const std::string plain = write_with(l, sample_plan(), map);
  const std::string walked = write_with(l, sample_plan(), map, {.walk_box = true});
  const StepFile file = read_steps(l, walked, "t");
  EXPECT_EQ(file.tally[Quantity::end_x], 0);
  EXPECT_EQ(file.tally[Quantity::end_y], 0);
  geometry::Box box;
  const stitch::Plan plan = sample_plan();
  for (int i = 0; i < plan.size(); ++i) {
    if (plan.op[static_cast<std::size_t>(i)] == Op::sew) box.add(map.to_machine(plan.at(i)));
  }
  geometry::Box walk;
  geometry::Point at{0, 0};
  for (const Step& step : file.decoded.steps) {
    if (step.op != Op::move) break;
    at = at + geometry::Point{step.dx * l.unit_mm, step.dy * l.unit_mm};
    walk.add(at);
  }
  EXPECT_NEAR(walk.x0, std::min(box.x0, 0.0), l.unit_mm);
  EXPECT_NEAR(walk.y1, std::max(box.y1, 0.0), l.unit_mm);
  const stitch::Plan a = read_with(l, plain, "t", map).plan;
  const stitch::Plan b = read_with(l, walked, "t", map).plan;
  EXPECT_EQ(a.op, b.op);  // the walk is no part of the plan
  EXPECT_EQ(a.x, b.x);
  EXPECT_EQ(a.y, b.y);
}

TEST(LayoutPlan, WhatALayoutCannotSayIsRefusedOrCounted) {
  const Layout lantern = shipped("lantern-row");
  const MachineMap map(flat_setup());
  const std::vector<std::string> remarks = remarks_on(lantern, sample_plan());
  ASSERT_EQ(remarks.size(), 1U);
  EXPECT_NE(remarks[0].find("by hand at 2 places"), std::string::npos);
  EXPECT_TRUE(remarks_on(shipped("buoy-lengths"), sample_plan()).empty());
  stitch::Plan plan = sample_plan();
  plan.threads[1].needle = 40;
  EXPECT_THROW(write_with(lantern, plan, map), base::Error);
  Layout plain = shipped("harbour-tally");
  std::erase_if(plain.operations, [](const Operation& o) { return o.does == Op::change; });
  EXPECT_THROW(write_with(plain, sample_plan(), map), base::Error);
}

}  // namespace
}  // namespace buckram::machine
