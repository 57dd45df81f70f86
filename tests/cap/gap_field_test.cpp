// The gap under the cloth: laws, and measured gaps against closed forms.
#include "cap/cap.h"
#include "cap/readings.h"

#include <gtest/gtest.h>

namespace buckram::cap {
namespace {

cap::Setup on(MountKind kind) {
  cap::Setup setup;
  setup.mount.kind = kind;
  setup.mount.field = {-110, 4, 110, 80};
  setup.cap.layers = {{"twill", 4, 0.5, false}, {"buckram", 5, 0.5, true}};
  return setup;
}

template <typename Visit>
void everywhere(Visit visit) {
  for (double x = -40; x <= 40; x += 4.1) {
    for (double y = 4; y <= 76; y += 5.3) visit(geometry::Point{x, y});
  }
}

double gap(const cap::Setup& setup, geometry::Point p) {
  return GapField(setup).at(p).gap_mm;
}

TEST(GapField, WhatClosesTheSpaceNeverWidensIt) {
  for (const MountKind kind : {MountKind::rotary, MountKind::flat}) {
    const cap::Setup plain = on(kind);
    std::vector<cap::Setup> closer(5, plain);
    closer[0].bench.raise_mm = 1.5;
    closer[1].bench.packing_mm = 0.7;
    closer[2].bench.has_clips = true;
    closer[3].bench.is_pressed = true;
    closer[4].bench.raise_mm = 3, closer[4].bench.has_clips = true;
    std::vector<GapField> fields;
    for (const cap::Setup& each : closer) fields.emplace_back(each);
    const GapField before(plain);
    int narrowed = 0;
    everywhere([&](geometry::Point p) {
      for (const GapField& field : fields) {
        EXPECT_GE(field.at(p).gap_mm, 0);
        EXPECT_LE(field.at(p).gap_mm, before.at(p).gap_mm + 1e-12) << p.x << ' ' << p.y;
        narrowed += field.at(p).gap_mm < before.at(p).gap_mm - 0.01;
      }
    });
    EXPECT_GT(narrowed, 100);
  }
}

TEST(GapField, IsWidestAtTheBillAndOverTheSeam) {
  const cap::Setup setup = on(MountKind::rotary);
  EXPECT_GT(gap(setup, {0, 8}), gap(setup, {0, 20}));
  EXPECT_GT(gap(setup, {0, 20}), gap(setup, {25, 20}));
}

TEST(GapField, LastsHigherOnTallCrowns) {
  cap::Setup low = on(MountKind::rotary), high = low;
  low.cap.crown = {92, 130, base::radians(4), 2.4};
  high.cap.crown = {92, 150, base::radians(1.5), 2.9};
  EXPECT_GT(gap(high, {20, 40}), gap(low, {20, 40}) + 0.3);
}

TEST(GapField, ARaisedPlateDoesNotCureTheSeam) {
  cap::Setup setup = on(MountKind::rotary);
  setup.bench.raise_mm = 3;
  EXPECT_NEAR(gap(setup, {setup.cap.seam.width_mm, 50}), setup.cap.seam.tape_mm, 1e-6);
}

TEST(GapField, LoosePanelsHaveNeitherSeamNorBulk) {
  cap::Setup setup = on(MountKind::flat);
  setup.mount.bill_is_on = setup.mount.seam_is_on = false;
  setup.mount.is_front_flat = true;
  const GapField field(setup);
  everywhere([&](geometry::Point p) {
    EXPECT_NEAR(field.prior_clearance(p), setup.mount.hold_mm, 1e-12);
    EXPECT_EQ(geometry::norm(field.at(p).slope), 0);
  });
}

// What the needle meets is the height of the cloth over the level plate: along the machine's axis
// it falls by dr / dz, here by differences of the profile's tables, and across and up by the
// bulges.
TEST(GapField, SlopeIsTheGradientOfTheBulgesAndOfTheLean) {
  cap::Setup setup = on(MountKind::rotary);
  setup.bench.tautness = 0;
  const GapField field(setup);
  const Profile profile(setup.cap.crown);
  const double h = 1e-4;
  everywhere([&](geometry::Point p) {
    const GapTerms t = field.terms(p);
    const auto bulges = [&](double x, double y) {
      return field.prior_clearance({x, y}) - profile.radius(y);
    };
    EXPECT_NEAR(t.bulge_slope.x, (bulges(p.x + h, p.y) - bulges(p.x - h, p.y)) / (2 * h), 1e-6);
    EXPECT_NEAR(t.bulge_slope.y, (bulges(p.x, p.y + h) - bulges(p.x, p.y - h)) / (2 * h), 1e-6);
    const double fall = (profile.radius(p.y + 0.5) - profile.radius(p.y - 0.5)) /
                        (profile.height(p.y + 0.5) - profile.height(p.y - 0.5));
    EXPECT_NEAR(t.lean_slope.y, fall, 1e-3);
    EXPECT_EQ(t.lean_slope.x, 0);
  });
}

// A rotary frame pulls the front flat from below: far under the height that it holds a drum-tight
// one takes its share out of the lean, far above it takes none, and in between never more than
// below. A hoop holds all round.
TEST(GapField, ARotaryFrameFlattensTheLeanOnlyAsFarUpAsItHolds) {
  cap::Setup slack = on(MountKind::rotary), taut = slack;
  slack.bench.tautness = 0, taut.bench.tautness = 1;
  const GapField loose(slack), tight(taut);
  const GapLaw& law = slack.mount.gap;
  const auto share = [&](double y) {
    return tight.terms({0, y}).lean_slope.y / loose.terms({0, y}).lean_slope.y;
  };
  EXPECT_NEAR(share(law.held_mm - 40), 1 - law.taut_flattened, 1e-3);
  EXPECT_NEAR(share(law.held_mm), 1 - law.taut_flattened / 2, 1e-9);
  EXPECT_NEAR(share(law.held_mm + 40), 1, 1e-3);
  for (double y = 5; y < 110; y += 1) EXPECT_GE(share(y + 1), share(y));
  cap::Setup hoop = on(MountKind::flat);
  hoop.bench.tautness = 0.5;
  const GapField flat(hoop);
  EXPECT_EQ(flat.terms({10, 20}).lean_slope, flat.terms({10, 90}).lean_slope);
}

// On a hemisphere the crown falls by r0 (1 - cos(y / r0)), which is known without the profile.
TEST(GapField, ClearanceOnAHemisphereInClosedForm) {
  cap::Setup setup = on(MountKind::rotary);
  const double r0 = setup.cap.crown.r0_mm;
  setup.cap.crown = {r0, base::kPi * r0 / 2, 0, 1};
  setup.cap.has_seam = false;
  setup.mount.bill_is_on = false;
  setup.bench.raise_mm = 0.7, setup.bench.packing_mm = 0.4;
  const GapField field(setup);
  for (double y = 0; y < 100; y += 3.7) {
    EXPECT_NEAR(field.prior_clearance({17, y}),
                setup.mount.plate_below_mm - 1.1 - r0 * (1 - std::cos(y / r0)), 1e-4);
  }
}

// A flat mount that is slack lets the head's curve through: x^2 / 2 r0 is the sagitta of a circle.
TEST(GapField, ASlackFlatMountSagsLikeTheHeadsCurve) {
  cap::Setup setup = on(MountKind::flat);
  setup.cap.has_seam = false;
  setup.mount.bill_is_on = false;
  setup.mount.gap.slack_sag = 1;
  setup.bench.tautness = 0;
  const GapField field(setup);
  const double r0 = setup.cap.crown.r0_mm;
  for (const double x : {0.0, 5.0, 12.0}) {
    const double sagitta = r0 - std::sqrt(r0 * r0 - x * x);
    EXPECT_NEAR(field.prior_clearance({x, 30}), setup.mount.hold_mm + sagitta, 0.01 * sagitta);
    EXPECT_NEAR(field.terms({x, 30}).lean_slope.x, x / std::sqrt(r0 * r0 - x * x), 0.002);
  }
  setup.bench.tautness = 1;
  EXPECT_EQ(GapField(setup).prior_clearance({12, 30}), setup.mount.hold_mm) << "drum-tight is flat";
}

// More clearance never closes the gap, not by the least step; and a step of clearance is no jump.
TEST(GapLaw, MoreClearanceNeverClosesTheGap) {
  for (const double tape : {0.0, 0.3, 0.6}) {
    GapTerms t;
    t.tape_mm = tape, t.open_share = 0.7;
    double before = -1;
    for (double u = -6; u < 6; u += 1e-3) {
      t.clearance_mm = u;
      const double gap = gap_point(t, {}).gap_mm;
      EXPECT_GE(gap, tape);
      if (before >= 0) {
        EXPECT_GE(gap, before) << u;
        EXPECT_LE(gap - before, 1.5e-3) << u;
      }
      before = gap;
    }
  }
}

// Where the cloth stands clear of plate and tape the gap is the clearance, and clips leave 70 % of
// it; where it is pressed on the plate there is none.
TEST(GapLaw, FarFromThePlateTheGapIsTheClearance) {
  GapTerms t;
  t.clearance_mm = 8;
  EXPECT_NEAR(gap_point(t, {}).gap_mm, 8, 1e-6);
  t.open_share = 0.7;
  EXPECT_NEAR(gap_point(t, {}).gap_mm, 5.6, 1e-6);
  t.clearance_mm = -8;
  EXPECT_NEAR(gap_point(t, {}).gap_mm, 0, 1e-6);
  EXPECT_NEAR(gap_point(t, {}).carried, 1, 1e-6);
  t.clearance_mm = 0;
  EXPECT_NEAR(gap_point(t, {}).carried, 0.5, 1e-12);
}

// A cap's draw scales what stands off the plate, adds its modes, and tilts every slope alike; a
// plate that carries the cloth takes most of a bulge's slope out, and none of the lean.
TEST(GapLaw, ADrawScalesClearanceAndSlope) {
  GapTerms t;
  t.clearance_mm = 6, t.modes_mm[1] = 0.5;
  t.bulge_slope = {0.1, 0}, t.lean_slope = {0, -0.2};
  GapDraw draw;
  draw.gap_factor = 1.5, draw.slope_factor = 1.2, draw.modes[1] = -2;
  const GapPoint clear = gap_point(t, draw);
  EXPECT_NEAR(clear.clearance_mm, 6 * 1.5 - 2 * 0.5, 1e-12);
  EXPECT_NEAR(clear.slope.x, 0.12, 1e-6);
  EXPECT_NEAR(clear.slope.y, -0.24, 1e-12);
  t.clearance_mm = -8, t.modes_mm[1] = 0;
  const GapPoint carried = gap_point(t, draw);
  EXPECT_NEAR(carried.slope.x, 0.12 * 0.3, 1e-6);
  EXPECT_NEAR(carried.slope.y, -0.24, 1e-12);
}

// One reading: f | z ~ N(K z / (K + s^2), K s^2 / (K + s^2)) at its place (Rasmussen and Williams
// 2006, eq. 2.25 and 2.26).
TEST(Readings, OneReadingInClosedForm) {
  const Kernel kernel{0.9, 25};
  const Residual residual(kernel, {{{3, 18}, 0.7, 0.4, false}});
  const double k = 0.81, s2 = 0.16;
  EXPECT_NEAR(residual.mean({3, 18}), k / (k + s2) * 0.7, 1e-12);
  EXPECT_NEAR(residual.covariance({3, 18}, {3, 18}), k * s2 / (k + s2), 1e-12);
  const double c = kernel({13, 18}, {3, 18});
  EXPECT_NEAR(residual.mean({13, 18}), c / (k + s2) * 0.7, 1e-12);
  EXPECT_NEAR(residual.covariance({13, 18}, {13, 18}), k - c * c / (k + s2), 1e-12);
}

// Two readings: the 2 x 2 inverse written out.
TEST(Readings, TwoReadingsInClosedForm) {
  const Kernel kernel{0.9, 25};
  const geometry::Point a{0, 16}, b{20, 16}, p{8, 25};
  const Residual residual(kernel, {{a, 0.5, 0.2, false}, {b, -0.3, 0.4, false}});
  const double ka = 0.81 + 0.04, kb = 0.81 + 0.16, c = kernel(a, b), det = ka * kb - c * c;
  const double pa = kernel(p, a), pb = kernel(p, b);
  const double wa = (kb * pa - c * pb) / det, wb = (ka * pb - c * pa) / det;
  EXPECT_NEAR(residual.mean(p), wa * 0.5 - wb * 0.3, 1e-12);
  EXPECT_NEAR(residual.covariance(p, p), 0.81 - wa * pa - wb * pb, 1e-12);
}

// A reading of zero says u <= 0 within its sd. One of them: the moments of a skew normal in closed
// form, f | z: mean -k phi(0) / (Phi(0) sqrt(k + s^2)) with bound 0 and prior mean 0.
TEST(Readings, AReadingOfZeroInClosedForm) {
  const Kernel kernel{0.9, 25};
  const Residual residual(kernel, {{{0, 16}, 0, 0.4, true}});
  const double k = 0.81, scale = std::sqrt(k + 0.16), ratio = std::sqrt(2 / base::kPi);
  EXPECT_NEAR(residual.mean({0, 16}), -k * ratio / scale, 1e-9);
  EXPECT_NEAR(residual.covariance({0, 16}, {0, 16}), k - k * k * ratio * ratio / (k + 0.16), 1e-9);
}

TEST(Readings, ThePriorReturnsFarAway) {
  const Kernel kernel{0.9, 25};
  const Residual residual(kernel, {{{0, 16}, 1.5, 0.2, false}, {{5, 20}, 0, 0.4, true}});
  EXPECT_NEAR(residual.mean({400, 16}), 0, 1e-12);
  EXPECT_NEAR(residual.covariance({400, 16}, {400, 16}), 0.81, 1e-12);
}

// The three modes together never make more variance than there is, and most of it on the front.
TEST(Readings, ModesCarryMostOfTheVariance) {
  const Residual residual({0.9, 25}, {{{0, 16}, 0.4, 0.4, false}});
  double caught = 0, all = 0;
  everywhere([&](geometry::Point p) {
    double sum = 0;
    for (const double mode : residual.modes(p)) sum += mode * mode;
    const double variance = residual.covariance(p, p);
    if (std::abs(p.x) <= 32 && p.y >= 6 && p.y <= 66) {
      EXPECT_LE(sum, variance * 1.02);
      caught += sum, all += variance;
    }
  });
  EXPECT_GT(caught / all, 0.6);
}

// A reading at one place says nothing of another ten reaches away.
TEST(Readings, OneFarAwayLeavesTheGapAsItWas) {
  cap::Setup setup = on(MountKind::rotary);
  const double before = gap(setup, {-30, 20});
  setup.readings = {{130, 180, 4, 0.05}};
  EXPECT_NEAR(gap(setup, {-30, 20}), before, 1e-9);
  setup.readings = {{-30, 20, 4, 0.05}};
  EXPECT_GT(std::abs(gap(setup, {-30, 20}) - before), 0.5) << "it does say something there";
}

TEST(Readings, AMeasuredGapIsReturnedThere) {
  cap::Setup setup = on(MountKind::rotary);
  setup.readings = {{20, 16, 1.7, 0.02}};
  EXPECT_NEAR(gap(setup, {20, 16}), 1.7, 0.03);
  EXPECT_LT(GapField(setup).clearance_sd({20, 16}), 0.03);
}

// Gaps read on the bench as it stands say the same when the bench is changed afterwards.
TEST(Readings, AChangedBenchKeepsThem) {
  cap::Setup setup = on(MountKind::rotary);
  setup.readings = {{20, 16, 2.0, 0.05}};
  Bench raised = setup.bench;
  raised.raise_mm = 1;
  EXPECT_NEAR(gap(setup, {20, 16}) - gap(with_bench(setup, raised), {20, 16}), 1, 0.1);
}

}  // namespace
}  // namespace buckram::cap
