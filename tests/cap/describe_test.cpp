// A shop's own caps and mounts: fits against known crowns, files that read back.
#include "cap/describe.h"

#include "cap/measures.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <functional>

namespace buckram::cap {
namespace {

std::string data(const std::string& name) {
  return base::read_file(std::string(BUCKRAM_ROOT) + "/data/" + name, 1 << 20);
}

std::string shipped_cap(const std::string& name) {
  return data("caps/" + name + ".toml");
}

std::string shipped_mount(const std::string& name) {
  return data("mounts/" + name + ".toml");
}

CrownShape mid() {
  return read_cap(shipped_cap("six-panel-structured-mid"), "mid").crown;
}

// psi0 = 0, m = 1, s90 = pi r0 / 2 is a hemisphere: at the angle a above the bill seam the front
// stands r0 (1 - cos a) back at the height r0 sin a.
TEST(FitCrown, FindsAHemisphereFromItsClosedForm) {
  const double r0 = 92;
  std::vector<ProfilePlace> places;
  for (double a = 0.1; a < 1.3; a += 0.1)
    places.push_back({r0 * std::sin(a), r0 * (1 - std::cos(a))});
  const CrownFit fit = fit_crown(r0, places, base::kPi * r0 / 2, mid());
  EXPECT_TRUE(fit.has_settled);
  EXPECT_LT(fit.worst_mm, 0.25);  // the priors pull a little
  const Profile profile(fit.shape);
  for (double y = 5; y < 110; y += 5) {
    EXPECT_NEAR(profile.radius(y), r0 * std::cos(y / r0), 0.4) << y;
    EXPECT_NEAR(profile.lean(y), y / r0, 0.03) << y;
  }
}

TEST(FitCrown, PlacesOfTheCapThatItIsLikeGiveThatCap) {
  for (const char* name :
       {"six-panel-structured-low", "six-panel-structured-mid", "six-panel-structured-high",
        "six-panel-soft-low", "five-panel-structured-mid", "five-panel-foam-backed"}) {
    const CrownShape like = read_cap(shipped_cap(name), name).crown;
    const Profile profile(like);
    std::vector<ProfilePlace> places;
    for (const double y : {20.0, 45.0, 70.0})
      places.push_back({profile.height(y), like.r0_mm - profile.radius(y)});
    const CrownFit fit = fit_crown(like.r0_mm, places, profile.to_button(), like);
    EXPECT_TRUE(fit.has_settled);
    EXPECT_LT(fit.worst_mm, 0.01) << name;
    EXPECT_NEAR(fit.shape.s90_mm, like.s90_mm, 0.1) << name;
    EXPECT_NEAR(fit.shape.m, like.m, 0.01) << name;
  }
}

// Crowns of every kind, read with the scatter that the header names. The truth is known.
TEST(SlowFitCrown, LeanAndSetbackAreWithinWhatTheHeaderSays) {
  base::Random random(11);
  constexpr int kCrowns = 200;
  int leans_off = 0, setbacks_off = 0;
  double sum_of_misses = 0;
  for (int k = 0; k < kCrowns; ++k) {
    CrownShape truth;
    truth.r0_mm = random.uniform(86, 98);
    truth.s90_mm = random.uniform(115, 160);
    truth.psi0_rad = base::radians(random.uniform(-2, 7));
    truth.m = random.uniform(1.1, 3.1);
    const Profile real(truth);
    std::vector<ProfilePlace> places;
    for (const double z : {20.0, 45.0, 70.0}) {
      const double setback = truth.r0_mm - real.radius(real.y_at_height(z));
      places.push_back({z, setback + 0.7 * random.normal()});
    }
    const double arc = real.to_button() + 3 * random.normal();
    const CrownFit fit = fit_crown(truth.r0_mm, places, arc, mid());
    ASSERT_TRUE(fit.has_settled) << k;
    const Profile found(fit.shape);
    double lean = 0, setback = 0;
    for (double y = 0; y <= 70; y += 2) {
      if (y >= 10 && y <= 60) lean = std::max(lean, std::abs(found.lean(y) - real.lean(y)));
      setback = std::max(setback, std::abs(found.radius(y) - real.radius(y)));
    }
    leans_off += lean > base::radians(3);
    setbacks_off += setback > 1.3;
    sum_of_misses += setback;
  }
  EXPECT_LE(leans_off, kCrowns / 20);
  EXPECT_LE(setbacks_off, kCrowns / 20);
  EXPECT_GT(sum_of_misses / kCrowns, 0.1);  // the scatter was there
}

using testing::kMeasures;

TEST(DescribeCap, TakesWhatIsMeasuredAndKeepsTheRest) {
  const DescribedCap made =
      describe_cap(kMeasures, "measures.toml", "chandlers-own", [](const std::string& like) {
        EXPECT_EQ(like, "six-panel-structured-mid");
        return shipped_cap(like);
      });
  const Cap like = read_cap(shipped_cap("six-panel-structured-mid"), "mid");
  EXPECT_EQ(made.cap.name, "chandlers-own");
  EXPECT_NEAR(made.cap.crown.r0_mm, 580 / (2 * base::kPi), 1e-9);
  EXPECT_EQ(made.cap.seam.ridge_mm, 0.9);
  EXPECT_EQ(made.cap.seam.width_mm, like.seam.width_mm);
  EXPECT_EQ(made.cap.layers.size(), like.layers.size());
  EXPECT_EQ(made.cap.eyelets.size(), like.eyelets.size());
  EXPECT_LT(made.fit.worst_mm, 1);
}

base::Error error_of(const std::string& measures) {
  try {
    describe_cap(measures, "m.toml", "x", shipped_cap);
  } catch (const base::Error& error) {
    return error;
  }
  ADD_FAILURE() << "nothing was thrown";
  return {};
}

std::string changed(const std::string& from, const std::string& to) {
  std::string text = kMeasures;
  text.replace(text.find(from), from.size(), to);
  return text;
}

TEST(DescribeCap, SaysWhatIsWrongWithTheMeasures) {
  EXPECT_EQ(error_of(changed("height_mm = 45", "height_mm = 15")).where,
            "m.toml: profile 2: height_mm");
  EXPECT_EQ(error_of(changed("[[profile]]\nheight_mm = 70\nsetback_mm = 14\n", "")).where,
            "m.toml: profile");
  EXPECT_NE(error_of(changed("circumference_mm = 580", "circumference_mm = 58")).what.find("377"),
            std::string::npos);
  EXPECT_EQ(error_of(changed("ridge_mm", "rigde_mm")).hint, "Did you mean ridge_mm?");
  EXPECT_EQ(error_of(changed("[seam]", "[crown]\nr0_mm = 90\n[seam]")).where, "m.toml: crown");
  EXPECT_EQ(error_of(changed("like =", "# like =")).what, "is missing");
}

TEST(DescribeMount, TakesWhatIsMeasuredAndKeepsTheRest) {
  const Mount mount = describe_mount(
      "like = \"rotary\"\nhole_mm = 1.9\nturned_by = \"controller\"\n[field]\ny1_mm = 74\n",
      "m.toml", "frame-two", shipped_mount);
  EXPECT_EQ(mount.name, "frame-two");
  EXPECT_EQ(mount.hole_mm, 1.9);
  EXPECT_EQ(mount.turned_by, TurnedBy::controller);
  EXPECT_EQ(mount.field.y1, 74);
  EXPECT_EQ(mount.field.x0, -110);
  EXPECT_EQ(mount.foot_mm, 3.5);
}

// Every field off its default, in figures that the file's rounding keeps.
TEST(WriteSetup, ACapReadsBackTheSame) {
  Cap cap;
  cap.name = "own", cap.title = "Chandler's \"own\"", cap.source = "measured";
  cap.crown = {90.25, 133.5, base::radians(4.25), 1.875};
  cap.layers = {{"felt", 3.5, 1.25, false}, {"net", 6.5, 0.375, true}};
  cap.seam = {0.7, 8, 0.6, 1.3, 5.5};
  cap.bill = {2.1, 9, 2.2, 11, 5};
  cap.eyelets = {{{-30, 99}, 4.5}};
  cap.panels = 5, cap.is_structured = false, cap.cloth_rgb = "#123456";
  for (const bool has_seam : {true, false}) {
    cap.has_seam = has_seam;
    if (!has_seam) cap.seam = {};
    Cap back = read_cap(write_cap(cap), "written");
    EXPECT_NEAR(back.crown.psi0_rad, cap.crown.psi0_rad, 1e-9);
    back.crown.psi0_rad = cap.crown.psi0_rad;
    EXPECT_EQ(back, cap);
  }
}

TEST(WriteSetup, AMountReadsBackTheSame) {
  Mount mount;
  mount.name = "two", mount.title = "Frame two", mount.source = "measured";
  mount.kind = MountKind::flat, mount.needs = Needs::cut_panels;
  mount.field = {-80, 5, 81, 77};
  mount.tautness = 0.6, mount.hole_mm = 1.95, mount.plate_below_mm = 2.5;
  mount.raise_mm = 0.5, mount.max_raise_mm = 2.5, mount.hold_mm = 0.4;
  mount.bill_is_on = mount.seam_is_on = mount.buckram_is_on = false;
  mount.is_front_flat = true;
  mount.gap_sd_mm = 0.7;
  mount.gap = {0.5, 0.6, 0.3, 0.25, 0.3, 0.15, 0.25, 0.2, 30, 58, 6};
  mount.acceleration_m_s2 = 8, mount.top_speed_m_s = 0.4;
  mount.ring_rad_s = 2 * base::kPi * 28.5, mount.damping = 0.15, mount.ring = 0.35;
  mount.foot_mm = 3, mount.turn_deg = 0, mount.turned_by = TurnedBy::controller;
  mount.origin = {1, 38}, mount.mount_s = 55;
  Mount back = read_mount(write_mount(mount), "written");
  EXPECT_NEAR(back.ring_rad_s, mount.ring_rad_s, 1e-9);
  back.ring_rad_s = mount.ring_rad_s;
  EXPECT_EQ(back, mount);
}

TEST(Mount, ANeedlePassesAHoleWithTwoTenthsToSpare) {
  Mount mount;
  Needle needle;
  needle.d_mm = 0.8;
  EXPECT_TRUE(passes_hole(mount, needle));  // hole not known
  mount.hole_mm = 1.0;
  EXPECT_TRUE(passes_hole(mount, needle));
  mount.hole_mm = 0.99;
  EXPECT_FALSE(passes_hole(mount, needle));
}

}  // namespace
}  // namespace buckram::cap
