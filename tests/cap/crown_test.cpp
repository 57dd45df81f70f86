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
