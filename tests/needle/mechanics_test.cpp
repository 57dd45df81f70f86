// Beams, columns, chances and motion against published figures and closed forms.
#include "needle/chance.h"
#include "needle/deflection.h"
#include "needle/failure.h"
#include "needle/penetration.h"
#include "needle/places.h"
#include "needle/synthetic.h"

#include <gtest/gtest.h>

#include <boost/math/distributions/non_central_chi_squared.hpp>

namespace buckram::needle {
namespace {

using namespace testing;

double square(double x) {
  return x * x;
}

// Stepped needle, tip force 1 N, shank 2.0 mm, a = 5, b = 25, E = 207 GPa: computed table of
// unit-load deflections (own reference computation in R, delta = P/3E [(L^3 - b^3)/I1 + b^3/I2]).
TEST(Beam, SteppedCantileverTable) {
  const auto ei = [](double d) { return 207000 * base::kPi * std::pow(d, 4) / 64; };
  const double d[] = {0.75, 0.80, 0.90}, mm[] = {1.643316, 1.274729, 0.804569};
  for (int k = 0; k < 3; ++k) EXPECT_NEAR(stepped_flexibility(5, ei(2), 25, ei(d[k])), mm[k], 1e-6);
  EXPECT_NEAR(stepped_flexibility(5, ei(0.8), 25, ei(0.8)), 2.162431, 1e-6);  // L^3 / 3 EI
}

// SymPy's Beam.join example: L = 4, I = 1.5 I0 to 2 and I0 beyond, tip load 20; tip deflection
// 302.2222 / (E I0).
TEST(Beam, SteppedCantileverOfSymPy) {
  EXPECT_NEAR(20 * stepped_flexibility(2, 1.5, 2, 1), 302.2222, 1e-4);
}

// Euler: clamped and free pi^2 EI / 4 L^2; clamped and pinned 20.1907 EI / L^2 (tan u = u). Table
// for E = 207 GPa, full round blades of 25 mm: 16.43 and 134.4 N at 0.80 mm, 12.69 and 103.8 at
// 0.75.
TEST(Column, EulerLoads) {
  const auto mechanics = shipped_mechanics();
  cap::Needle needle;
  needle.young_mpa = 207000, needle.groove = 1, needle.blade_mm = 25;
  const double d[] = {0.75, 0.80, 0.90, 1.00}, free_n[] = {12.69, 16.43, 26.32, 40.11},
               pinned_n[] = {103.8, 134.4, 215.3, 328.2};
  for (int k = 0; k < 4; ++k) {
    needle.d_mm = d[k];
    const Blade blade = blade_of(needle, *mechanics);
    EXPECT_NEAR(blade.free_load_n, free_n[k], 0.006 * free_n[k]);
    EXPECT_NEAR(blade.pinned_load_n, pinned_n[k], 0.006 * pinned_n[k]);
    EXPECT_EQ(critical_load(blade, 0, 1.0), blade.free_load_n);
    EXPECT_EQ(critical_load(blade, 1e6, 1.0), blade.pinned_load_n);
  }
}

// A lateral spring k at the free end: the exact critical load is the first root of
// tan u = u - u^3 EI / (k L^3); P_free + 0.81 k L is within 10 % of it until the pinned load.
TEST(Column, ASpringAtTheTipAgainstTheExactRoot) {
  const auto mechanics = shipped_mechanics();
  const Blade blade = blade_of({}, *mechanics);
  const double l = 24, ei = blade.free_load_n * 4 * l * l / (base::kPi * base::kPi);
  for (const double k : {0.2, 0.5, 1.0, 2.0}) {
    double low = base::kPi / 2 + 1e-9, high = 4.4934;  // residual changes sign once in between
    for (int i = 0; i < 200; ++i) {
      const double u = (low + high) / 2;
      const double residual = std::sin(u) - (u - u * u * u * ei / (k * l * l * l)) * std::cos(u);
      (residual > 0 ? low : high) = u;
    }
    const double exact = low * low * ei / (l * l);
    EXPECT_NEAR(critical_load(blade, k, 1.0) / exact, 1, 0.1) << k;
  }
}

struct Ellipse {
  double xx, xy, yy;
};
Ellipse ellipse(double large, double aspect, double turn) {
  const double a = large * large, b = a / (aspect * aspect), c = std::cos(turn), s = std::sin(turn);
  return {a * c * c + b * s * s, (a - b) * c * s, a * s * s + b * c * c};
}

double outside(geometry::Point mean, const Ellipse& e, double r) {
  return outside_disc(Normal2<double>{mean.x, mean.y, e.xx, e.xy, e.yy}, r);
}

// Q1(a, b) = P(chi'^2_2(a^2) > b^2); Boost.Math's non-central chi-squared. 1 % down to 1e-12.
TEST(OutsideDisc, IsMarcumQWhenIsotropic) {
  const double r = 0.7;
  int n = 0;
  for (const double s : {0.05, 0.07, 0.1, 0.15, 0.2, 0.3, 0.5}) {
    for (double m = 0; m < 0.64; m += 0.03) {
      const boost::math::non_central_chi_squared_distribution<double> d(2,
                                                                        m * m / (s * s) + 1e-300);
      const double q = boost::math::cdf(boost::math::complement(d, r * r / (s * s)));
      if (q < 1e-12) continue;
      for (const double a : {0.0, 0.7, 2.0, 4.0}) {
        EXPECT_NEAR(outside({m * std::cos(a), m * std::sin(a)}, {s * s, 0, s * s}, r) / q, 1, 0.01)
            << s << ' ' << m;
        const Normal2<double> at{m, 0, s * s, 0, s * s};
        EXPECT_GE(std::exp(-outside_disc_exponent(at, r)) * 1.0001, q);
      }
      ++n;
    }
  }
  EXPECT_GT(n, 60);
}

// Plain Monte Carlo where the chance is large enough for it.
TEST(OutsideDisc, AgreesWithMonteCarlo) {
  base::Random random(5);
  for (const double aspect : {1.0, 1.7, 3.0}) {
    for (const double m : {0.0, 0.3, 0.6, 0.8}) {
      const Ellipse e = ellipse(0.3, aspect, 0.8);
      const double l11 = std::sqrt(e.xx), l21 = e.xy / l11, l22 = std::sqrt(e.yy - l21 * l21);
      int out = 0;
      constexpr int kN = 100000;
      for (int k = 0; k < kN; ++k) {
        const double z1 = random.normal();
        const double z2 = random.normal();
        out += std::hypot(m + l11 * z1, l21 * z1 + l22 * z2) > 0.7;
      }
      const double p = outside({m, 0}, e, 0.7);
      EXPECT_NEAR(out / double(kN), p, 4 * std::sqrt(p / kN) + 0.01 * p) << aspect << ' ' << m;
    }
  }
}

// Far out, against the same polar integral with 20,000 directions.
TEST(OutsideDisc, AgreesWithAFineQuadrature) {
  int n = 0;
  for (const double large : {0.08, 0.12, 0.2}) {
    for (const double aspect : {1.0, 1.5, 2.5}) {
      for (const double turn : {0.0, 0.5, 1.2}) {
        for (const double m : {0.0, 0.05, 0.2, 0.4, 0.55}) {
          const Ellipse e = ellipse(large, aspect, turn);
          const double l11 = std::sqrt(e.xx), l21 = e.xy / l11, l22 = std::sqrt(e.yy - l21 * l21);
          double q = 0;
          for (int k = 0; k < 20000; ++k) {
            const double f = 2 * base::kPi * k / 20000;
            const double x = l11 * std::cos(f), y = l21 * std::cos(f) + l22 * std::sin(f);
            const double a = x * x + y * y, b = m * x;
            const double rho = (std::sqrt(b * b + a * (0.49 - m * m)) - b) / a;
            q += std::exp(-rho * rho / 2) / 20000;
          }
          if (q < 1e-12) continue;
          EXPECT_NEAR(outside({m, 0}, e, 0.7) / q, 1, 0.01)
              << large << ' ' << aspect << ' ' << turn << ' ' << m;
          ++n;
        }
      }
    }
  }
  EXPECT_GT(n, 60);
}

// The frame's swing by its definition: a sine at 64 phases, each with the rest of the push normal;
// small, middling and large against the distance over which the chance falls, common and square
// hits alike (here the same). As a normal it would be far more dangerous at times.
TEST(Strike, TheFramesSwingIsASineOfUnknownPhase) {
  const auto m = shipped_mechanics();
  const Blade blade = blade_of({}, *m);
  int n = 0;
  double most_as_normal = 0;
  for (const double scatter : {0.07, 0.1, 0.18}) {
    for (const double mean : {0.0, 0.2, 0.45, 0.65}) {
      for (const double turn : {0.0, 0.9, 2.5}) {
        for (const double swing : {0.01, 0.03, 0.06, 0.1, 0.16}) {
          Push push{};
          push.critical_n = 1e9;
          push.mean_x = mean;
          push.swing_x = swing * std::cos(turn), push.swing_y = swing * std::sin(turn);
          push.xx = square(scatter) + square(push.swing_x) / 2;
          push.yy = square(scatter) + square(push.swing_y) / 2;
          push.xy = push.swing_x * push.swing_y / 2;
          double sine = 0;
          constexpr int kPhases = 64;
          for (int k = 0; k < kPhases; ++k) {
            const double phase = std::cos(2 * base::kPi * (k + 0.5) / kPhases);
            sine += outside({mean + phase * push.swing_x, phase * push.swing_y},
                            {square(scatter), 0, square(scatter)}, blade.hole_clearance_mm) /
                    kPhases;
          }
          if (sine < 1e-9) continue;
          const double p =
              failure_at(push, blade, *m, CapDraw{}, {.ignore = 0}).by_mode[0] / blade.strike_q;
          EXPECT_NEAR(p / sine, 1, 0.015) << scatter << ' ' << mean << ' ' << turn << ' ' << swing;
          const double normal =
              outside({mean, 0}, {push.xx, push.xy, push.yy}, blade.hole_clearance_mm);
          most_as_normal = std::max(most_as_normal, normal / sine);
          ++n;
        }
      }
    }
  }
  EXPECT_GT(n, 100);
  EXPECT_GT(most_as_normal, 1.5);
}

TEST(StressStrength, BendingIsLognormal) {
  const auto mechanics = shipped_mechanics();
  const Blade blade = blade_of({}, *mechanics);
  Push push{};
  push.xx = push.yy = 1e-6;
  push.critical_n = 1e9, push.force_n = 0;
  // Side force whose root stress is the median strength: half of them break.
  push.side_n = mechanics->steel_mpa * blade.section_mm3 / blade.reach_mm;
  EXPECT_NEAR(failure_at(push, blade, *mechanics, CapDraw{}).by_mode[2], 0.5 * mechanics->bend_q,
              1e-9);
  push.side_n *= std::exp(-2 * mechanics->steel_log_sd);
  EXPECT_NEAR(failure_at(push, blade, *mechanics, CapDraw{}).by_mode[2],
              base::normal_cdf(-2) * mechanics->bend_q, 1e-9);
  // A steel that is not drawn: the mean over many that are.
  CapDraw open, drawn;
  open.strength_log2 = square(mechanics->steel_log_sd);
  double mean = 0;
  for (int k = 0; k < 2000; ++k) {
    drawn.strength = std::exp(mechanics->steel_log_sd * base::normal_quantile((k + 0.5) / 2000));
    mean += failure_at(push, blade, *mechanics, drawn).by_mode[2] / 2000;
  }
  EXPECT_NEAR(failure_at(push, blade, *mechanics, open).by_mode[2] / mean, 1, 1e-3);
}

// Harmonic drive: peak speed pi S n / 60 (1000 a minute, 30 mm: 1.5708 m/s), reached half way down.
TEST(Motion, HarmonicDrive) {
  Mechanics m = *shipped_mechanics();
  m.stroke_mm = 30, m.lowest_mm = -15;
  const double h = 1e-7;
  const double t = time_to_height_s(m, 1000, 0);
  EXPECT_NEAR(t, 0.015, 1e-12);  // a quarter turn of 60 ms
  const double turn = 2 * base::kPi * 1000 / 60;
  const double speed =
      (point_height_mm(m, turn * (t - h)) - point_height_mm(m, turn * (t + h))) / (2 * h);
  EXPECT_NEAR(speed / 1000, 1.5708, 1e-3);
}

// Triangle below v^2 / a, trapezoid above; both meet there.
TEST(Motion, MoveTimes) {
  cap::Mount mount;
  mount.acceleration_m_s2 = 10, mount.top_speed_m_s = 0.5;
  EXPECT_NEAR(move_time_s(mount, 10), 2 * std::sqrt(0.010 / 10), 1e-12);
  EXPECT_NEAR(move_time_s(mount, 25), 0.1, 1e-12);
  EXPECT_NEAR(move_time_s(mount, 50), 0.15, 1e-12);
}

TEST(Motion, WayLeftIsWhatBrakingStillCovers) {
  const auto m = shipped_mechanics();
  cap::Mount mount;
  const FrameMotion motion = frame_motion(mount, *m, 900, 1.5, 5, {5, 0});
  const double late = motion.stop_s - time_to_height_s(*m, 900, 1.5 + 2);
  ASSERT_GT(late, 0);
  const double exact = mount.acceleration_m_s2 * 1000 / 2 * late * late;
  EXPECT_NEAR(motion.left_mm(2.0), std::min(exact, m->way_left_mm), 1e-3);
  EXPECT_EQ(frame_motion(mount, *m, 300, 1.5, 3, {3, 0}).left_mm(0.0), 0);
}

// E[(t - mu)+] by numerical integration.
TEST(Friction, ClosedFormOfTheExcess) {
  for (const double slope : {0.05, 0.15, 0.2, 0.27, 0.5}) {
    double sum = 0;
    for (int k = 0; k < 100000; ++k) {
      const double z = base::normal_quantile((k + 0.5) / 100000);
      sum += std::max(0.0, slope - (0.2 + 0.05 * z)) / 100000;
    }
    EXPECT_NEAR(friction_at(slope, 0.2, 0.05).excess, sum, 1e-6);
  }
}

// Caps as a forecast draws them, and wilder ones: soft to hard, no gap to twice the gap.
std::vector<WeightedCap> wild_caps(int n, base::Random& random) {
  std::vector<WeightedCap> caps(static_cast<std::size_t>(n));
  for (WeightedCap& each : caps) {
    each.cap.hardness = random.uniform(0.5, 2.5);
    each.cap.gap.gap_factor = random.uniform(0, 2);
    each.cap.gap.slope_factor = random.uniform(0.5, 1.5);
    each.cap.gap.modes[0] = random.normal();
    each.cap.alignment_x = random.uniform(-0.8, 0.8);
    each.cap.strength = random.uniform(0.05, 1.2);
    each.weight = random.uniform(0, 2.0 / n);
  }
  return caps;
}

// Four caps at a time are the same four one by one; the worst of the four says how many phases and
// directions all get, either of them within 1 %. And two registers of two say what one of four
// does, to the last bit.
TEST(Chance, FoursOfCapsAreTheirCaps) {
  const auto m = shipped_mechanics();
  const cap::Setup setup = shipped_setup("six-panel-structured-mid", "rotary");
  const stitch::Plan plan = block_logo(10, 40, 12);
  const Places all = places_of(plan, setup, *m, crowding(plan, *m));
  base::Random random(3);
  int breaking = 0;
  for (std::size_t k = 0; k < all.places.size(); k += 7) {
    const std::vector<WeightedCap> caps = wild_caps(6, random);
    const std::vector<FourCaps> fours = by_fours(caps);
    std::vector<double> by_cap(8), by_cap_plain(8);
    const Place& place = all.places[k];
    const PlaceChance chance = chance_at(place, all.blade, *m, fours, {}, by_cap);
    const PlaceChance plain = plain_chance_at(place, all.blade, *m, fours, {}, by_cap_plain);
    EXPECT_EQ(chance.hazard, plain.hazard);
    EXPECT_EQ(chance.by_mode, plain.by_mode);
    EXPECT_EQ(by_cap, by_cap_plain);
    double sum = 0;
    for (std::size_t c = 0; c < caps.size(); ++c) {
      const CapDraw& cap = caps[c].cap;
      const double p = failure_at(push_at(place, all.blade, *m, cap), all.blade, *m, cap).any;
      EXPECT_NEAR(by_cap[c], p, 0.02 * p + 1e-14);
      sum += caps[c].weight * p;
      breaking += p > 1e-3;
    }
    EXPECT_NEAR(chance.hazard, sum, 0.02 * sum + 1e-14);
  }
  EXPECT_GT(breaking, 100);
}

TEST(Push, FoursOfCapsArePushedAsTheirCaps) {
  const auto m = shipped_mechanics();
  const cap::Setup setup = shipped_setup("six-panel-structured-mid", "rotary");
  const stitch::Plan plan = block_logo(10, 40, 12);
  const Places all = places_of(plan, setup, *m, crowding(plan, *m));
  base::Random random(3);
  const auto lanes = [](base::Four four) { return std::bit_cast<std::array<double, 4>>(four); };
  for (std::size_t k = 0; k < all.places.size(); k += 7) {
    const std::vector<WeightedCap> caps = wild_caps(4, random);
    const auto pushes = push_at(all.places[k], all.blade, *m, by_fours(caps)[0].draw);
    for (std::size_t c = 0; c < 4; ++c) {
      const Push push = push_at(all.places[k], all.blade, *m, caps[c].cap);
      EXPECT_NEAR(lanes(pushes.mean_x)[c], push.mean_x, 1e-7);
      EXPECT_NEAR(lanes(pushes.mean_y)[c], push.mean_y, 1e-7);
      EXPECT_NEAR(lanes(pushes.xx)[c] / push.xx, 1, 1e-6);
      EXPECT_NEAR(lanes(pushes.hit_mm2)[c] / push.hit_mm2, 1, 1e-6);
    }
  }
}

TEST(Push, LawsOfDriftAndSlide) {
  const auto m = shipped_mechanics();
  const Blade blade = blade_of({}, *m);
  Place place;
  place.force_n = 7, place.across_n_per_mm = 4, place.in_plane_n_per_mm = 5.8;
  place.foot_room_mm = 2;
  place.gap.clearance_mm = 2;
  EXPECT_EQ(push_at(place, blade, *m, CapDraw{}).drift_mm, 0) << "no slope";
  place.gap.lean_slope = {0, -0.15};
  const Push leaning = push_at(place, blade, *m, CapDraw{});
  EXPECT_GT(leaning.drift_mm, 0.05);
  EXPECT_GT(leaning.mean_y, 0) << "downhill, which is up the crown";
  EXPECT_NEAR(leaning.mean_x, 0, 1e-12);
  CapDraw harder;
  harder.hardness = 1.3;
  EXPECT_GE(push_at(place, blade, *m, harder).travel_mm, leaning.travel_mm);
  place.gap.clearance_mm = -5;
  EXPECT_NEAR(push_at(place, blade, *m, CapDraw{}).drift_mm, 0, 1e-9) << "no gap";
}

// A side force pushes the point only until it has slipped past what pushed it: however hard the
// cloth, neither slide nor throw grows beyond the yarn. Small forces bend the needle by force over
// stiffness.
TEST(Push, YarnsLimitSlideAndThrow) {
  const auto m = shipped_mechanics();
  const Blade blade = blade_of({}, *m);
  Place place;
  place.across_n_per_mm = 4, place.in_plane_n_per_mm = 5.8;
  place.gap.clearance_mm = -5;
  place.gap.lean_slope = {0, -0.3};
  place.force_n = 0.5;
  const Push soft = push_at(place, blade, *m, CapDraw{});
  EXPECT_NEAR(soft.slide_mm / (soft.side_n / soft.stiffness_n_per_mm), 1, 0.01);
  const double free_mm = m->hit_factor * m->glance * soft.force_n / soft.stiffness_n_per_mm;
  const double hit2 = soft.hit_mm2 + soft.xx - square(m->floor_mm);
  EXPECT_NEAR(std::sqrt(hit2) / free_mm, 1, 0.01);
  double before = 0;
  for (const double force : {5.0, 20.0, 80.0}) {
    place.force_n = force;
    const Push push = push_at(place, blade, *m, CapDraw{});
    EXPECT_LE(push.slide_mm, m->yarn_pitch_mm);
    EXPECT_LE(push.hit_mm2, square(m->throw_limit_mm));
    EXPECT_GE(push.slide_mm, before) << "harder never slips less";
    before = push.slide_mm;
  }
}

// Force grows by the rate's exponent: some 8 % at ten times the speed (yarns: Meredith 1954).
TEST(Rate, TenTimesTheSpeedIsEightPerCent) {
  const auto m = shipped_mechanics();
  EXPECT_EQ(rate_factor(m->reference_spm, *m), 1);
  EXPECT_NEAR(rate_factor(10 * m->reference_spm, *m), 1.08, 0.01);
}

TEST(Stack, AddsLayersAndFadesTheSeam) {
  const auto m = shipped_mechanics();
  const cap::Setup setup = shipped_setup("six-panel-structured-mid", "rotary");
  const Stack far = stack_at(setup, *m, {40, 60});
  EXPECT_NEAR(far.sum(), 4 * 0.5 + 5 * 0.5 + 1.5 * 0.5, 1e-6);
  EXPECT_NEAR(stack_at(setup, *m, {6, 60}).seam_n, 0.55, 1e-9) << "half at its edge";
  EXPECT_NEAR(stack_at(setup, *m, {0, 60}).seam_n, 1.1, 0.01);
  EXPECT_NEAR(stack_at(setup, *m, {40, 10}).allowance_n, 1.25, 1e-9);
}

// Rows 0.4 mm apart with a thread of 0.4 mm are one layer, plus 2 mm of thread in each hole; on the
// average over places, since a disc of 1 mm holds more holes here than there.
TEST(Crowding, AFullFillIsOneLayerAndItsHoles) {
  const auto m = shipped_mechanics();
  Sewn fill;
  fill.fill({-10, 20, 10, 40}, 0.4, 4);
  int holes = 0;
  for (int i = 0; i < fill.plan.size(); ++i) {
    holes += std::abs(fill.plan.x[i]) < 7 && std::abs(fill.plan.y[i] - 30) < 7;
  }
  double mean = 0;
  for (int k = 0; k < 49; ++k) {
    Sewn probed = fill;
    probed.jump(-6 + k % 7 * 1.9, 24 + k / 7 * 1.9);
    const double layers = crowding(probed.plan, *m).back();
    mean += m->layers_limit * std::atanh(layers / m->layers_limit) / 49;
  }
  EXPECT_NEAR(mean, 1 + 0.4 * 2 * holes / (14.0 * 14.0), 0.05);
  EXPECT_EQ(crowding(fill.plan, *m).front(), 0);
}

// By the definition, without grids: pieces of at most 0.5 mm and holes, a rim that fades.
std::vector<double> crowding_by_definition(const stitch::Plan& plan, const Mechanics& m) {
  struct Piece {
    geometry::Point at;
    double mm2;
  };
  std::vector<Piece> pieces;
  std::vector<double> layers(static_cast<std::size_t>(plan.size()), 0.0);
  for (int i = 0; i < plan.size(); ++i) {
    if (plan.op[i] != stitch::Op::sew) continue;
    const geometry::Point at = plan.at(i);
    double sum = 0;
    for (const Piece& piece : pieces) {
      const double rim = (1.125 - geometry::distance(piece.at, at) / m.crowd_radius_mm) / 0.25;
      sum += piece.mm2 * std::clamp(rim, 0.0, 1.0);
    }
    const double eta = sum / (base::kPi * m.crowd_radius_mm * m.crowd_radius_mm);
    layers[i] = m.layers_limit * std::tanh(eta / m.layers_limit);
    if (stitch::has_thread(plan, i)) {
      const double mm = geometry::distance(plan.at(i - 1), at);
      const int n = std::max(1, static_cast<int>(std::ceil(mm / 0.5)));
      for (int k = 0; k < n; ++k) {
        pieces.push_back(
            {geometry::mix(plan.at(i - 1), at, (k + 0.5) / n), mm / n * m.thread_width_mm});
      }
    }
    pieces.push_back({at, m.thread_width_mm * m.hole_thread_mm});
  }
  return layers;
}

TEST(Crowding, OfOrdinaryPlansIsTheDefinitionsToTheLastDigits) {
  const auto m = shipped_mechanics();
  Sewn locks;
  for (int k = 0; k < 60; ++k) locks.lock(0.01 * k, 30);
  for (const stitch::Plan& plan : {block_logo(16, 40), locks.plan}) {
    const std::vector<double> found = crowding(plan, *m), wanted = crowding_by_definition(plan, *m);
    for (std::size_t i = 0; i < found.size(); ++i) ASSERT_NEAR(found[i], wanted[i], 1e-12) << i;
  }
}

// Fifty thousand holes in each of two places whose cells see each other, but not their thread,
// and stitches that run 2 km: the thread there is counted, and the work stays linear. By pairs it
// would be five thousand million looks.
TEST(Crowding, ManyHolesInOnePlaceAndKilometresOfThreadAreCounted) {
  const auto m = shipped_mechanics();
  Sewn sewn;
  for (int k = 0; k < 50'000; ++k) sewn.sew(1e-3 * (k % 5), 20);
  sewn.jump(1.2, 20);
  for (int k = 0; k < 50'000; ++k) sewn.sew(1.2 + 1e-3 * (k % 5), 20);
  EXPECT_EQ(crowding(sewn.plan, *m).back(), m->layers_limit);
  for (int k = 0; k < 2000; ++k) sewn.sew(k % 2 ? -1000 : 1000, 20 + 0.1 * k);
  EXPECT_GT(crowding(sewn.plan, *m).back(), 0);
}

TEST(Crowding, LaterThreadNeverCounts) {
  const auto m = shipped_mechanics();
  stitch::Plan plan = block_logo(16, 40);
  const std::vector<double> all = crowding(plan, *m);
  const int half = plan.size() / 2;
  plan.x.resize(half), plan.y.resize(half), plan.op.resize(half);
  plan.blocks[0].count = half;
  const std::vector<double> first = crowding(plan, *m);
  for (int k = 0; k < half; ++k) EXPECT_EQ(first[k], all[k]);
}

}  // namespace
}  // namespace buckram::needle
