// The needle's closed forms against worked examples as they were printed: eccentric and side loads
// on columns, stress against strength, chances of a point outside its limit, and needle forces.
// Each row names its source, what was printed, how near it has to come and why no nearer; what it
// came to is recorded with the test and told in docs/notes/needle.md.
#include "needle/deflection.h"
#include "needle/failure.h"
#include "needle/penetration.h"
#include "needle/synthetic.h"

#include <gtest/gtest.h>

namespace buckram::needle {
namespace {

using namespace testing;

double square(double x) {
  return x * x;
}

// Records what a row came to and holds it to its tolerance (relative).
void expect_printed(const std::string& source, double printed, double ours, double tolerance) {
  const double error = ours / printed - 1;
  std::string key = source;
  for (char& c : key) c = std::isalnum(static_cast<unsigned char>(c)) ? c : '_';
  ::testing::Test::RecordProperty(key, std::to_string(100 * error) + " %");
  EXPECT_NEAR(error, 0, tolerance) << source << ": printed " << printed << ", ours " << ours;
}

// A column clamped below, as the needle is in its bar: the same as a pinned one of twice its
// length, half of which it is. Section as printed; the units are the source's own.
struct Column {
  double effective_length, area, gyration, young, outermost;
  double second_moment() const { return area * square(gyration); }
  double length() const { return effective_length / 2; }  // clamped and free
};

Blade blade_of_column(const Column& c) {
  Blade blade;
  const double ei = c.young * c.second_moment(), l = c.length();
  blade.reach_mm = l;
  blade.stiffness_n_per_mm = 1 / stepped_flexibility(0, ei, l, ei);
  blade.free_load_n = square(base::kPi) * ei / (4 * square(l));
  blade.pinned_load_n = 8 * blade.free_load_n;
  blade.hole_clearance_mm = 1e9, blade.strike_q = 1;
  blade.section_mm3 = c.second_moment() / c.outermost;
  blade.area_mm2 = c.area;
  return blade;
}

// On a slope of which the point slips with all of half its force: H = P tan / 2 where friction is
// nothing.
struct Pressed {
  Mechanics mechanics = *shipped_mechanics();
  Blade blade;
  Push push;
};
Pressed pressed(const Column& column, double load, double side) {
  Pressed p;
  p.mechanics.friction = 1e-9, p.mechanics.friction_sd = 1e-9;
  p.mechanics.yarn_pitch_mm = 1e9;  // nothing stops it
  p.mechanics.steel_log_sd = 0.5;   // a wide spread shows the stress over a wide range
  p.blade = blade_of_column(column);
  p.blade.bend_from = 0;
  Place place;
  place.force_n = load;
  place.across_n_per_mm = 1;
  place.gap.clearance_mm = -1e3;
  place.gap.lean_slope = {0, -2 * side / load};
  p.push = push_at(place, p.blade, p.mechanics, CapDraw{});
  return p;
}

// The stress that the chance of bending speaks of: p = q Phi(ln(stress / strength) / sd).
double stress_of(const Pressed& p, const Push& push, double near) {
  Mechanics m = p.mechanics;
  m.steel_mpa = near;
  const double chance = failure_at(push, p.blade, m, CapDraw{}).by_mode[2] / m.bend_q;
  return near * std::exp(m.steel_log_sd * base::normal_quantile(chance));
}

// Cantilever of 28 ft, W14x48, pushed aside at its tip with 1 kip under P: AISC's benchmark for
// second-order analysis, case 2 (AISC 360 commentary C2; values as in PyNite's tests). Printed to
// three digits; softening by 1 - P / P_cr stands for 3 (tan u - u) / u^3 and is off by 1.5 %.
TEST(Published, BeamColumnOfTheBenchmark) {
  const double inch = 12 * 28.0;
  const Column column{2 * inch, 14.1, std::sqrt(484 / 14.1), 29000, 1};
  struct Row {
    double load, base_moment, tip;
  };
  for (const Row& row : {Row{100, 469, 1.33}, Row{150, 598, 1.75}, Row{200, 848, 2.56}}) {
    const Pressed p = pressed(column, row.load, 1);
    const std::string name = "AISC case 2, P = " + std::to_string(int(row.load)) + " kip, ";
    ASSERT_NEAR(p.push.side_n, 1, 1e-6);
    expect_printed(name + "tip", row.tip, p.push.mean_y, 0.02);
    const double axial = row.load / column.area, printed = axial + row.base_moment / 484;
    expect_printed(name + "stress", printed, stress_of(p, p.push, printed), 0.02);
  }
}

// The secant formula, P / A (1 + e c / r^2 sec u), u = (L_e / 2 r) sqrt(P / E A), at the foot of a
// column pressed off its axis. Near the critical load sec u is (1 + 0.234 P / P_cr) / (1 - P /
// P_cr) (0.234 = pi^2 / 8 - 1), so that the softening falls short of the bending part by 2 % at a
// tenth of the critical load and by 11 % at half of it; needles in caps work at 6 to 14 %.
TEST(Published, SecantFormula) {
  struct Row {
    const char* source;
    Column column;
    double load, eccentricity, printed, tolerance;
  };
  const Row rows[] = {{"Gere, Mechanics of Materials, W14x82 of 25 ft, 20.1 ksi",
                       {300, 24.1, 6.05, 30000, 7.155},
                       360,
                       1.5,
                       20.1,
                       0.01},
                      {"Gere, Mechanics of Materials 7e, problem 11.6-11, W12x87, 13.4 ksi",
                       {216, 25.6, 5.376, 29000, 6.265},
                       255,
                       1.471,
                       13.4,
                       0.01},
                      {"HP 48gII manual, eccentric columns, 140,853 kPa",
                       {6.6542, 187.9351e-4, 0.084836, 206842718.795, 0.1524},
                       1908.2571,
                       0.011806,
                       140853.0970,
                       0.025},
                      {"Gramoll, Mechanics e-book 9.3, fixed and free tube of 30 ft, 6.34 ksi",
                       {720, 4.515, 2.035, 29000, 3},
                       5,
                       3,
                       1.107 * (1 + 2.173 * 2.175),
                       0.1},
                      {"Beer and Johnston, sample problem 10.2, half the critical load, 22.0 ksi",
                       {192, 3.54, 1.50, 29000, 2},
                       31.1,
                       0.75,
                       22.0,
                       0.08}};
  for (const Row& row : rows) {
    const Pressed p = pressed(row.column, row.load, 1e-12);
    Push push = p.push;
    // The softened tip stands off its axis by so much more.
    push.mean_x = row.eccentricity * p.blade.stiffness_n_per_mm / push.stiffness_n_per_mm;
    expect_printed(row.source, row.printed, stress_of(p, push, row.printed), row.tolerance);
  }
}

// Normal strength against normal stress, R - S: the limit is a straight line, here the edge of a
// hole as wide as a field, so that first order is exact and Pf = Phi(-beta).
TEST(Published, StressAgainstStrengthIsAPointBeyondAnEdge) {
  struct Row {
    const char* source;
    double strength, strength_sd, stress, stress_sd, printed;
  };
  const Row rows[] = {
      {"otbenchmark, R-S default", 4, 1, 2, 1, 0.0786496035},
      {"Waarts 2000, beta 3.54", 7, 1, 2, 1, 2.034760e-4},
      {"Du, example 7.1 (UQpy), 0.0127", 200, 20, 150, 10, 0.0126736593},
      {"LimitState, reliability index, 3.872108e-06", 200, 10, 100, 20, 3.872108e-6},
      {"pystra, linear limit", 10, 2, 5, 1, 0.0126736593},
      {"reliability (Python), 1.50298 %", 40, 7, 20, 6, 0.0150298},
      {"reliability (Python), tests", 80, 7, 50, 5, 2.4384404803800858e-4}};
  for (const Row& row : rows) {
    const double sd = std::hypot(row.strength_sd, row.stress_sd), edge = 1e4 * sd;
    const Normal2<double> point{edge - (row.strength - row.stress), 0, sd * sd, 0, sd * sd};
    expect_printed(row.source, row.printed, outside_disc(point, edge), 0.005);
  }
}

// Du, example 7.2: a cantilever pushed two ways at its tip, each push normal, fails where its tip
// is more than D0 = 3 in from its place. That is the point and its hole. First order (UQpy) gives
// beta 1.7444 and 0.04054; the exact chance is 0.0410038 (own quadrature), 1.1 % more.
TEST(Published, CantileverPushedTwoWays) {
  const double length = 100, young = 30e6, w = 2, t = 4, limit = 3;
  const double per_x = 4 * std::pow(length, 3) / (young * w * t) / (w * w);
  const double per_y = 4 * std::pow(length, 3) / (young * w * t) / (t * t);
  const Normal2<double> tip{per_x * 500, per_y * 1000, square(per_x * 100), 0, square(per_y * 100)};
  expect_printed("Du, example 7.2, exact", 0.0410037842, outside_disc(tip, limit), 0.005);
  expect_printed("Du, example 7.2, first order", 0.04054, outside_disc(tip, limit), 0.02);
  // Where the point lies inside, the bound lies above.
  EXPECT_GT(std::exp(-outside_disc_exponent(tip, limit)), outside_disc(tip, limit));
}

// Two pushes of one standard normal each, outside a circle of radius beta: exp(-beta^2 / 2), the
// Rayleigh tail (Rayleigh 1880).
TEST(Published, RayleighTail) {
  for (const double beta : {1.0, 3.0, 5.0, 7.0}) {
    expect_printed("Rayleigh, " + std::to_string(beta), std::exp(-beta * beta / 2),
                   outside_disc(Normal2<double>{0, 0, 1, 0, 1}, beta), 1e-6);
  }
}

// A round bar of 20 mm under an axial load, both uncertain: R lognormal (mean 300, sd 30), F normal
// (75,000, 5,000), g = R - F / 100 pi. Exact 0.029198194624830955 (otbenchmark, axial stressed
// beam); first order 0.0299828, 2.7 % more. The load is averaged over here as caps are averaged
// over in a forecast.
TEST(Published, AxiallyStressedBar) {
  Mechanics m = *shipped_mechanics();
  m.steel_log_sd = std::sqrt(std::log(1.01));
  m.steel_mpa = 300 / std::sqrt(1.01);
  cap::Needle bar;
  bar.d_mm = 20;
  Blade blade = blade_of(bar, m);
  blade.bend_from = 0;
  Push push{};
  push.xx = push.yy = 1e-6, push.critical_n = 1e12;
  double sum = 0;
  constexpr int kShares = 4000;
  for (int k = 0; k < kShares; ++k) {
    push.force_n = 75000 + 5000 * base::normal_quantile((k + 0.5) / kShares);
    sum += failure_at(push, blade, m, CapDraw{}).by_mode[2] / m.bend_q / kShares;
  }
  expect_printed("otbenchmark, axial stressed beam", 0.029198194624830955, sum, 1e-3);
  EXPECT_LT(sum, 0.0299828) << "first order lies above";
}

// Lognormal against lognormal: beta = ln[(mu_R / mu_S) sqrt((1 + V_S^2) / (1 + V_R^2))] /
// sqrt ln[(1 + V_R^2)(1 + V_S^2)] (load and resistance factor design, as in Withiam and others
// 1997). Buckling is such a pair: the load scatters, the critical load is known; and so is bending
// when the strength of one needle differs from that of another.
TEST(Published, LognormalAgainstLognormal) {
  struct Row {
    double mean_r, cov_r, mean_s, cov_s, beta;
  };
  const Row rows[] = {{2, .10, 1, .20, 3.191868766},
                      {2.5, .15, 1, .25, 3.249533972},
                      {3, .10, 1, .30, 3.666323378},
                      {1.5, .10, 1, .10, 2.874218159},
                      {10, .20, 4, .30, 2.653842863}};
  for (const Row& row : rows) {
    const double log_r = std::sqrt(std::log(1 + square(row.cov_r)));
    const double log_s = std::sqrt(std::log(1 + square(row.cov_s)));
    Mechanics m = *shipped_mechanics();
    m.buckle_log_sd = log_s;
    Blade blade;
    blade.hole_clearance_mm = 1, blade.section_mm3 = 1e9, blade.area_mm2 = 1e9;
    blade.bend_from = 1;
    Push push{};
    push.xx = push.yy = 1e-6;
    push.force_n = row.mean_s / std::sqrt(1 + square(row.cov_s));
    double sum = 0;
    constexpr int kShares = 20000;
    for (int k = 0; k < kShares; ++k) {
      const double z = base::normal_quantile((k + 0.5) / kShares);
      push.critical_n = row.mean_r / std::sqrt(1 + square(row.cov_r)) * std::exp(log_r * z);
      sum += failure_at(push, blade, m, CapDraw{}).by_mode[3] / m.buckle_q / kShares;
    }
    expect_printed("lognormal pair, beta " + std::to_string(row.beta), base::normal_cdf(-row.beta),
                   sum, 0.01);
  }
}

// Gurarda and Meric (Textile Research Journal 75, 2005, 628): single cotton and elastane wovens
// took 1.00 to 1.40 N. No table for cap twill, buckram or backing was found, so the prior is a
// judgement: one layer 1.2 N in the median at 0.8 mm, spread 1.8, three times in five stiffened
// ones 2.5 times as much with the same spread. Shipped cloths lie within two spreads of it.
TEST(Published, ForcesOfOneLayerLieWithinTheScatterOfPapers) {
  const double kMedianN = 1.2, kSpread = 1.8;
  const auto fabrics = cap::read_fabrics(data_file("fabrics.toml"), "fabrics.toml");
  ASSERT_FALSE(fabrics.empty());
  int cloths = 0;
  for (const cap::Fabric& fabric : fabrics) {
    const cap::Layer& layer = fabric.layer;
    const double force = layer.hardness_n_per_mm * layer.thickness_mm;
    const double median = layer.is_stiffener ? 2.5 * kMedianN : kMedianN;
    const double spread =
        layer.is_stiffener ? std::hypot(std::log(kSpread), std::log(kSpread)) : std::log(kSpread);
    EXPECT_LT(std::abs(std::log(force / median)), 2 * spread) << fabric.name << ": " << force;
    cloths += !layer.is_stiffener && !fabric.is_backing;
  }
  EXPECT_GT(cloths, 0);
}

// What papers say of the direction: forces grow with the needle's size, the number of layers and
// their weight (Haghighat and others, Journal of Engineered Fibers and Fabrics 9(4), 2014, 45), a
// little with speed; and the higher their mean, the wider they scatter (Senshoshi 28(11), 1987,
// 472), which a spread in proportion does.
TEST(Published, ForcesGrowAsPapersSay) {
  const auto m = shipped_mechanics();
  cap::Setup setup = shipped_setup("six-panel-structured-mid", "rotary");
  double before = 0;
  for (int layers = 0; layers < 4; ++layers) {
    const double force = stack_at(setup, *m, {40, 60}).sum();
    EXPECT_GT(force, before);
    before = force;
    setup.bench.backing.push_back(setup.bench.backing[0]);
  }
  EXPECT_GT(needle_factor(needle_named("90:sharp"), *m),
            needle_factor(needle_named("75:sharp"), *m));
  Place place;
  place.across_n_per_mm = 4, place.in_plane_n_per_mm = 5.8;
  const auto spread_n = [&](double force) {
    place.force_n = force;
    CapDraw soft, hard;
    soft.hardness = std::exp(-m->hardness_log_sd), hard.hardness = std::exp(m->hardness_log_sd);
    const Blade blade = blade_of(cap::Needle{}, *m);
    return push_at(place, blade, *m, hard).force_n - push_at(place, blade, *m, soft).force_n;
  };
  EXPECT_GT(spread_n(4), 1.5 * spread_n(2));
}

}  // namespace
}  // namespace buckram::needle
