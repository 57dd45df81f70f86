// Crown shape and chart against closed forms.
#include "cap/cap.h"

#include <gtest/gtest.h>

namespace buckram::cap {
namespace {

// psi0 = 0, m = 1, s90 = pi r0 / 2 is a hemisphere: r = r0 cos(s / r0), z = r0 sin(s / r0).
TEST(Profile, IsAHemisphereWhenTheLeanGrowsEvenly) {
  const double r0 = 92;
  const Profile profile({r0, base::kPi * r0 / 2, 0, 1});
  for (double s = 0; s <= base::kPi * r0 / 2; s += 0.37) {
    EXPECT_NEAR(profile.radius(s), r0 * std::cos(s / r0), 1e-4) << s;
    EXPECT_NEAR(profile.height(s), r0 * std::sin(s / r0), 1e-4) << s;
    EXPECT_NEAR(profile.lean(s), s / r0, 1e-6) << s;
  }
  EXPECT_NEAR(profile.to_button(), base::kPi * r0 / 2, 1e-3);
}

// A very late turn leaves a cone: r = r0 - s sin psi0, z = s cos psi0.
TEST(Profile, IsAConeWhileTheLeanStays) {
  const Profile profile({92, 140, 0.3, 400});
  for (double s = 0; s <= 120; s += 1.7) {
    EXPECT_NEAR(profile.radius(s), 92 - s * std::sin(0.3), 1e-4) << s;
    EXPECT_NEAR(profile.height(s), s * std::cos(0.3), 1e-4) << s;
  }
}

TEST(Profile, HeightIsUndoneByItsInverse) {
  const Profile profile({});
  for (double s = 0; s < 139; s += 0.71)
    EXPECT_NEAR(profile.y_at_height(profile.height(s)), s, 2e-3);
  EXPECT_EQ(profile.y_at_height(-5), 0);
  EXPECT_EQ(profile.y_at_height(1e6), 140);
}

cap::Setup rotary() {
  cap::Setup setup;
  setup.mount.field = {-110, 4, 110, 80};
  setup.cap.eyelets = {{{-38, 105}, 6}, {{38, 105}, 6}};
  return setup;
}

TEST(Chart, MachineMapIsUndoneByItsInverse) {
  for (const MountKind kind : {MountKind::rotary, MountKind::flat}) {
    cap::Setup setup = rotary();
    setup.mount.kind = kind;
    const Chart chart(setup);
    for (double x = -60; x <= 60; x += 7.3) {
      for (double y = 0; y <= 90; y += 3.1) {
        const geometry::Point back = chart.from_machine(chart.to_machine({x, y}));
        EXPECT_NEAR(back.x, x, 1e-3);
        EXPECT_NEAR(back.y, y, 2e-3);
      }
    }
  }
}

// On a hemisphere: the frame turns by x / (r0 cos a) at the latitude a = y / r0, times its radius
// r0, and moves along by r0 sin a.
TEST(Chart, MachineMapOfAHemisphereInClosedForm) {
  cap::Setup setup = rotary();
  const double r0 = setup.cap.crown.r0_mm;
  setup.cap.crown = {r0, base::kPi * r0 / 2, 0, 1};
  const Chart chart(setup);
  for (const double y : {0.0, 10.0, 45.0, 80.0}) {
    const geometry::Point m = chart.to_machine({20, y});
    EXPECT_NEAR(m.x, 20 / std::cos(y / r0), 1e-3);
    EXPECT_NEAR(m.y, r0 * std::sin(y / r0), 1e-3);
  }
  setup.mount.kind = MountKind::flat;
  EXPECT_EQ(Chart(setup).to_machine({20, 45}), (geometry::Point{20, 45})) << "sewn as it is";
}

// True millimetres: a short step on the chart, across or up, is as long on the crown. (Slanted
// ones are not: no flat map of a crown keeps all lengths; Gauss 1827.)
TEST(Chart, StepsAcrossAndUpKeepTheirLength) {
  const Chart chart(rotary());
  const auto length = [&](geometry::Point a, geometry::Point b) {
    const SpacePoint p = chart.to_space(a), q = chart.to_space(b);
    return std::hypot(p.x - q.x, p.y - q.y, p.z - q.z);
  };
  for (const double y : {5.0, 30.0, 60.0, 75.0}) {
    EXPECT_NEAR(length({10, y}, {10.5, y}), 0.5, 1e-5);
    EXPECT_NEAR(length({0, y}, {0, y + 0.5}), 0.5, 1e-5);
  }
}

TEST(Chart, SpacePointsLieOnTheCrown) {
  const Chart chart(rotary());
  const SpacePoint p = chart.to_space({30, 40});
  EXPECT_NEAR(std::hypot(p.x, p.y), chart.profile().radius(40), 1e-9);
  EXPECT_NEAR(std::atan2(p.x, -p.y) * chart.profile().radius(40), 30, 1e-9);
  EXPECT_LT(p.y, 0);
}

TEST(Reach, LeavesOutTheStripTheEyeletsAndWhatLiesBeyondTheField) {
  cap::Setup setup = rotary();
  const geometry::Polygons free = reach(setup);
  EXPECT_TRUE(geometry::contains(free, {0, 40}));
  EXPECT_FALSE(geometry::contains(free, {0, 3.9}));
  EXPECT_FALSE(geometry::contains(free, {0, 100}));
  EXPECT_TRUE(geometry::contains(free, {-85, 40}));
  setup.mount.field.y1 = 108;
  const geometry::Polygons taller = reach(setup);
  EXPECT_FALSE(geometry::contains(taller, {38, 105}));
  EXPECT_TRUE(geometry::contains(taller, {30, 105}));
}

// On a hemisphere the field's side at machine x1 lies at x1 cos a on the chart.
TEST(Reach, IsTheFieldBroughtOntoTheChart) {
  cap::Setup setup = rotary();
  const double r0 = setup.cap.crown.r0_mm;
  setup.cap.crown = {r0, base::kPi * r0 / 2, 0, 1};
  setup.cap.eyelets.clear();
  const geometry::Polygons free = reach(setup);
  const double top = r0 * std::asin(setup.mount.field.y1 / r0);
  for (double y = 6; y < top - 1; y += 4.3) {
    const double side = setup.mount.field.x1 * std::cos(y / r0);
    EXPECT_TRUE(geometry::contains(free, {side - 0.05, y})) << y;
    EXPECT_FALSE(geometry::contains(free, {side + 0.05, y})) << y;
  }
  EXPECT_TRUE(geometry::contains(free, {0, top - 0.05}));
  EXPECT_FALSE(geometry::contains(free, {0, top + 0.05}));
}

geometry::Polygons box(double x0, double y0, double x1, double y1) {
  return {{{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}, {}}};
}

TEST(Obstacle, IsNamed) {
  cap::Setup setup = rotary();
  EXPECT_EQ(obstacle(setup, box(-20, 16, 20, 60)), "");
  EXPECT_EQ(obstacle(setup, box(-20, 2, 20, 60)), "the strip beside the bill seam");
  EXPECT_EQ(obstacle(setup, box(30, 90, 45, 110)), "the eyelet 38 mm right, 105 mm up");
  EXPECT_EQ(obstacle(setup, box(-5, 50, 5, 90)), "beyond the frame's field");
  setup.mount.bill_is_on = false;
  setup.mount.field.y0 = 0;
  EXPECT_EQ(obstacle(setup, box(-20, 2, 20, 60)), "");
}

}  // namespace
}  // namespace buckram::cap
