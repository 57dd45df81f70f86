// The forecast as a whole: against brute force, its draws, its laws and its words.
#include "needle/deflection.h"
#include "needle/draws.h"
#include "needle/evaluate.h"
#include "needle/failure.h"
#include "needle/penetration.h"
#include "needle/remembered.h"
#include "needle/synthetic.h"
#include "needle/words.h"

#include <gtest/gtest.h>
#include <tbb/global_control.h>

#include <chrono>
#include <cmath>
#include <mutex>
#include <set>
#include <thread>

namespace buckram::needle {
namespace {

using namespace testing;

// Caps drawn at random, then every push, strength and break of every stitch drawn too: no closed
// forms of chance, no weights, no Sobol points. It shares the mechanics (push_at) with the
// forecast; what it checks is everything that is done with them.
struct BruteForce {
  double breaks_per_cap = 0, standard_error = 0, clean_cap = 0;
};

CapDraw random_cap(const Mechanics& m, base::Random& random) {
  std::array<double, 9> z{};
  for (double& each : z) each = random.normal();
  CapDraw cap;
  cap.hardness = std::exp(m.hardness_log_sd * z[0] - m.hardness_log_sd * m.hardness_log_sd / 2);
  cap.gap.gap_factor = std::max(0.0, 1 + m.gap_sd * z[1]);
  cap.gap.slope_factor = std::max(0.0, 1 + m.slope_sd * z[2]);
  cap.alignment_x = m.alignment_mm * z[3], cap.alignment_y = m.alignment_mm * z[4];
  cap.strength = std::exp(m.steel_log_sd * z[5]);
  for (int k = 0; k < 3; ++k) cap.gap.modes[k] = z[6 + k];
  return cap;
}

bool breaks_here(const Push& push, const Blade& blade, const Mechanics& m, const CapDraw& cap,
                 base::Random& random) {
  const bool is_hit = random.uniform() < m.hit_share;
  const double more = is_hit ? push.hit_mm2 : 0;
  const double l11 = std::sqrt(push.xx + more), l21 = push.xy / l11;
  const double z1 = random.normal();
  const double z2 = random.normal();
  const geometry::Point pushed{push.mean_x + l11 * z1,
                               push.mean_y + l21 * z1 + std::sqrt(push.yy + more - l21 * l21) * z2};
  const geometry::Point at = pushed + geometry::Point{cap.alignment_x, cap.alignment_y};
  if (geometry::norm(at) > blade.hole_clearance_mm) return random.uniform() < blade.strike_q;
  const bool meets_hook =
      m.hook_gain * pushed.y > m.hook_clearance_mm && pushed.y < blade.hole_clearance_mm;
  if (meets_hook && random.uniform() < m.hook_q) return true;
  const double load = push.force_n * std::exp(m.buckle_log_sd * random.normal());
  return load > push.critical_n && random.uniform() < m.buckle_q;
}

BruteForce brute_force(const Places& all, const Mechanics& m, int caps, std::uint64_t seed) {
  base::Random random(seed);
  double sum = 0, square = 0;
  int clean = 0;
  for (int c = 0; c < caps; ++c) {
    const CapDraw cap = random_cap(m, random);
    int n = 0;
    for (const Place& place : all.places) {
      n += breaks_here(push_at(place, all.blade, m, cap), all.blade, m, cap, random);
    }
    sum += n, square += double(n) * n;
    clean += n == 0;
  }
  const double mean = sum / caps;
  return {mean, std::sqrt((square / caps - mean * mean) / caps), clean / double(caps)};
}

TEST(SlowForecast, AgreesWithBruteForce) {
  const auto m = shipped_mechanics();
  cap::Setup setup = shipped_setup("six-panel-structured-mid", "rotary");
  setup.bench.tautness = 0.2;
  setup.bench.needle = needle_named("75:ball");
  const stitch::Plan plan = scattered({-20, 12, 20, 40}, 700, 3, 4);
  const Forecast f =
      forecast(plan, setup, *m, {.draws = 1024, .with_drivers = false, .with_interval = false});
  const Places places = places_of(plan, setup, *m, crowding(plan, *m));
  const BruteForce brute = brute_force(places, *m, 12000, 9);
  RecordProperty("forecast", std::to_string(f.breaks_per_cap));
  RecordProperty("brute", std::to_string(brute.breaks_per_cap));
  EXPECT_GT(brute.breaks_per_cap, 0.02);
  EXPECT_NEAR(f.breaks_per_cap / brute.breaks_per_cap, 1,
              0.05 + 3 * brute.standard_error / brute.breaks_per_cap);
  EXPECT_NEAR(f.clean_cap, brute.clean_cap, 0.01);
}

TEST(Forecast, DrawsHaveConverged) {
  const auto m = shipped_mechanics();
  const stitch::Plan plan = block_logo(14, 40, 18);
  for (const char* mount : {"rotary", "rotary-raised"}) {
    const cap::Setup setup = shipped_setup("six-panel-structured-mid", mount);
    const double few = breaks_per_100(plan, setup, *m),
                 many = breaks_per_100(plan, setup, *m, 2048);
    EXPECT_NEAR(few / many, 1, 0.04) << mount;
  }
}

TEST(Forecast, RankedPlacesLoseNothing) {
  const auto m = shipped_mechanics();
  const stitch::Plan plan = block_logo(14, 40, 18);
  const auto caps = draw_caps(*m, 256, 1);
  for (const char* mount : {"rotary", "rotary-raised"}) {
    const Places places =
        places_of(plan, shipped_setup("six-panel-structured-mid", mount), *m, crowding(plan, *m));
    const Evaluation all = evaluate(places, *m, caps);
    const Evaluation ranked = evaluate_ranked(places, *m, caps).all;
    EXPECT_NEAR(ranked.breaks / all.breaks, 1, 0.02);
    EXPECT_NEAR(ranked.clean_cap, all.clean_cap, 0.03 * (1 - all.clean_cap));
    EXPECT_NEAR(ranked.by_mode[1] / all.by_mode[1], 1, 0.1);
  }
}

// Whatever the former forecast is of, the next one is the same to the last bit.
TEST(Forecast, OfAChangedPlanIsTheFullOne) {
  const auto m = shipped_mechanics();
  const cap::Setup setup = shipped_setup("six-panel-structured-mid", "rotary");
  const stitch::Plan plan = block_logo(14, 40, 18);
  const Forecast former = forecast(plan, setup, *m, {.remember = true});
  ASSERT_NE(former.remembered, nullptr);
  std::vector<std::pair<stitch::Plan, cap::Setup>> changed(6, {plan, setup});
  for (int i = 900; i < 1100; ++i) changed[1].first.x[static_cast<std::size_t>(i)] += 0.2;
  changed[2].first = block_logo(14, 40, 17);
  changed[3].second.bench.has_clips = true;
  changed[4].second.bench.needle = needle_named("75:sharp");
  changed[5].second.readings = {{0, 16, 0.5, 0.2}};
  for (const auto& [next, bench] : changed) {
    const Forecast full = forecast(next, bench, *m);
    const Forecast again = forecast(next, bench, *m, {.former = &former});
    EXPECT_EQ(again.hazard, full.hazard);
    EXPECT_EQ(again.breaks_per_cap, full.breaks_per_cap);
    EXPECT_EQ(again.clean_cap, full.clean_cap);
    EXPECT_EQ(again.by_mode, full.by_mode);
    EXPECT_EQ(again.low, full.low);
    EXPECT_EQ(again.drivers.gap, full.drivers.gap);
    ASSERT_EQ(again.worst.size(), full.worst.size());
    EXPECT_EQ(again.worst[0].why, full.worst[0].why);
  }
}

// Only what a change touches is computed anew: its own stitches, and those with other thread
// around them.
TEST(Remembered, KnowsThePlacesThatAChangeLeavesAlone) {
  const auto m = shipped_mechanics();
  const cap::Setup setup = shipped_setup("six-panel-structured-mid", "rotary");
  const stitch::Plan plan = block_logo(14, 40, 18);
  stitch::Plan moved = plan;
  for (int i = 900; i < 1000; ++i) moved.x[static_cast<std::size_t>(i)] += 0.2;
  const auto places = [&](const stitch::Plan& p) {
    return places_of(p, setup, *m, crowding(p, *m));
  };
  const auto former = evaluate_ranked(places(plan), *m, draw_caps(*m, 32, 1), nullptr, true);
  int known = 0, near = 0;
  const Places next = places(moved);
  for (std::size_t k = 0; k < next.places.size(); ++k) {
    const bool is_known = former.remembered->pilot(next.places[k]) != nullptr;
    known += is_known;
    double least = 1e300;
    for (int i = 899; i <= 1000; ++i) {
      least = std::min(least, geometry::distance(plan.at(i), plan.at(next.entries[k])));
    }
    near += least < 2 + 4;  // the disc's rim, and half a stitch whose middle lies within
    EXPECT_TRUE(is_known || least < 6) << k;
  }
  EXPECT_GE(known, static_cast<int>(next.places.size()) - near);
  EXPECT_GT(known, static_cast<int>(next.places.size()) / 2);
}

TEST(Forecast, IsConsistentWithin) {
  const auto m = shipped_mechanics();
  const stitch::Plan plan = block_logo(14, 40, 18);
  const Forecast f = forecast(plan, shipped_setup("six-panel-structured-mid", "rotary"), *m);
  double sum = 0;
  for (int i = 0; i < plan.size(); ++i) {
    sum += f.hazard[i];
    if (plan.op[i] != stitch::Op::sew) {
      EXPECT_EQ(f.hazard[i], 0);
    }
    EXPECT_GE(f.hazard[i], 0);
  }
  EXPECT_NEAR(f.breaks_per_cap, sum, 1e-12);
  EXPECT_LE(f.low, f.breaks_per_cap);
  EXPECT_GE(f.high, f.breaks_per_cap);
  EXPECT_GE(f.clean_cap, 1 - f.breaks_per_cap - 1e-6)
      << "a break at least for each cap that is not clean";
  const Drivers& d = f.drivers;
  EXPECT_NEAR(d.gap + d.slope + d.seam + d.crowding + d.motion + d.hardness + d.buckling, 1, 1e-9);
  ASSERT_FALSE(f.worst.empty());
  for (std::size_t k = 0; k < f.worst.size(); ++k) {
    if (k > 0) {
      EXPECT_LE(f.worst[k].p, f.worst[k - 1].p);
    }
    EXPECT_FALSE(f.worst[k].why.empty() || f.worst[k].helps.empty());
    for (std::size_t j = 0; j < k; ++j)
      EXPECT_GE(geometry::distance(f.worst[k].at, f.worst[j].at), 5);
  }
}

TEST(Forecast, SameSeedSameBytesAndNoPlanNoBreaks) {
  const auto m = shipped_mechanics();
  const cap::Setup setup = shipped_setup("six-panel-structured-mid", "rotary");
  const stitch::Plan plan = block_logo(16, 30, 12);
  const Forecast a = forecast(plan, setup, *m), b = forecast(plan, setup, *m);
  EXPECT_EQ(a.hazard, b.hazard);
  EXPECT_EQ(a.low, b.low);
  EXPECT_EQ(forecast(stitch::Plan{}, setup, *m).breaks_per_cap, 0);
}

// Sums are taken in an order of their own, not in that in which threads finish: every number and
// every word of the forecast is the same on one thread and on several (the next test sees to it
// that there are several).
TEST(Forecast, SameBytesOnOneThreadAndOnSeveral) {
  const auto m = shipped_mechanics();
  const stitch::Plan plan = block_logo(14, 50, 22);
  const auto on_threads = [&](std::size_t n, const cap::Setup& setup) {
    const tbb::global_control limit(tbb::global_control::max_allowed_parallelism, n);
    return forecast(plan, setup, *m, {.remember = true});
  };
  for (const char* mount : {"rotary", "rotary-raised", "flat-cap-hoop"}) {
    cap::Setup setup = shipped_setup("six-panel-structured-mid", mount);
    setup.readings = {{0, 16, 0.5, 0.2}, {20, 16, 0, 0.4}};
    const Forecast one = on_threads(1, setup), several = on_threads(4, setup);
    EXPECT_EQ(one.hazard, several.hazard);
    for (const auto number :
         {&Forecast::breaks_per_cap, &Forecast::low, &Forecast::high, &Forecast::clean_cap,
          &Forecast::gap_mean_mm, &Forecast::gap_max_mm}) {
      EXPECT_EQ(one.*number, several.*number);
      EXPECT_TRUE(std::isfinite(one.*number));
    }
    EXPECT_EQ(one.by_mode, several.by_mode);
    for (const auto share : {&Drivers::gap, &Drivers::slope, &Drivers::seam, &Drivers::crowding,
                             &Drivers::motion, &Drivers::hardness, &Drivers::buckling}) {
      EXPECT_EQ(one.drivers.*share, several.drivers.*share);
    }
    ASSERT_EQ(one.worst.size(), several.worst.size());
    for (std::size_t k = 0; k < one.worst.size(); ++k) {
      EXPECT_EQ(one.worst[k].entry, several.worst[k].entry);
      EXPECT_EQ(one.worst[k].p, several.worst[k].p);
      EXPECT_EQ(one.worst[k].why, several.worst[k].why);
      EXPECT_EQ(one.worst[k].helps, several.worst[k].helps);
    }
    EXPECT_EQ(Screen(plan, setup, *m).breaks_per_cap(setup), [&] {
      const tbb::global_control limit(tbb::global_control::max_allowed_parallelism, 1);
      return Screen(plan, setup, *m).breaks_per_cap(setup);
    }());
  }
}

TEST(Forecast, WorkIsSharedByThreads) {
  const tbb::global_control limit(tbb::global_control::max_allowed_parallelism, 4);
  std::mutex guard;
  std::set<std::thread::id> seen;
  const auto until = std::chrono::steady_clock::now() + std::chrono::seconds(20);
  while (seen.size() < 2 && std::chrono::steady_clock::now() < until) {
    base::parallel_for(64, [&](std::size_t) {
      std::this_thread::sleep_for(std::chrono::milliseconds(1));
      const std::lock_guard<std::mutex> held(guard);
      seen.insert(std::this_thread::get_id());
    });
  }
  EXPECT_GE(seen.size(), 2U);
}

// A measured gap leaves less unknown: the interval narrows.
TEST(Forecast, MeasuringNarrowsTheInterval) {
  const auto m = shipped_mechanics();
  cap::Setup setup = shipped_setup("six-panel-structured-mid", "rotary");
  const stitch::Plan plan = block_logo(16, 40, 14);
  const auto width = [&] {
    const Forecast f = forecast(plan, setup, *m, {.with_drivers = false, .with_words = false});
    return std::log(f.high / f.low);
  };
  const double before = width();
  for (const geometry::Point p : {geometry::Point{0, 16}, {-20, 16}, {20, 16}, {0, 28}, {0, 40}}) {
    setup.readings.push_back({p.x, p.y, cap::GapField(setup).at(p).gap_mm, 0.2});
  }
  EXPECT_LT(width(), before - 0.1);
}

TEST(Screen, RanksAsTheForecastDoes) {
  const auto m = shipped_mechanics();
  const cap::Setup standing = shipped_setup("six-panel-structured-mid", "rotary");
  const stitch::Plan plan = block_logo(14, 50, 22);
  const Screen screen(plan, standing, *m);
  const double screened = screen.breaks_per_cap(standing),
               full = breaks_per_100(plan, standing, *m) / 100;
  EXPECT_NEAR(screened / full, 1, 0.2);
  std::vector<cap::Setup> changed(5, standing);
  changed[0].bench.raise_mm = 2;
  changed[1].bench.is_pressed = changed[1].bench.has_clips = true;
  changed[2].bench.needle = needle_named("90:sharp");
  changed[3].bench.speed_spm = 900;
  changed[4].bench.tautness = 0.3;
  for (const cap::Setup& each : changed) {
    EXPECT_NEAR(
        screen.breaks_per_cap(each) / screened / (breaks_per_100(plan, each, *m) / 100 / full), 1,
        0.12);
  }
}

// Every key of the bench that the mechanics know of acts on the forecast.
TEST(Bench, EveryKeyActs) {
  const auto m = shipped_mechanics();
  const cap::Setup standing = shipped_setup("six-panel-structured-mid", "rotary");
  const stitch::Plan plan = block_logo(14, 34, 12);
  const double before = breaks_per_100(plan, standing, *m, 32);
  std::vector<cap::Setup> changed(12, standing);
  changed[0].bench.raise_mm = 1;
  changed[1].bench.packing_mm = 1;
  changed[2].bench.has_clips = true;
  changed[3].bench.is_pressed = true;
  changed[4].bench.tautness = 0.4;
  changed[5].bench.foot_mm = 2.5;
  changed[6].bench.needle = needle_named("75:sharp");
  changed[7].bench.speed_spm = 900;
  changed[8].bench.backing.push_back(standing.bench.backing[0]);
  changed[9].cap.stiffness = 1.4;
  changed[10].cap.has_seam = false;
  changed[11].readings = {{0, 16, 0.5, 0.2}};
  for (std::size_t k = 0; k < changed.size(); ++k) {
    EXPECT_GT(std::abs(breaks_per_100(plan, changed[k], *m, 32) / before - 1), 0.01) << k;
  }
}

TEST(Words, PlacesReadLikeDirections) {
  const cap::Setup setup = shipped_setup("six-panel-structured-mid", "rotary");
  EXPECT_EQ(place_in_words(setup, {0.2, 9}), "on the seam, 9 mm above the bill");
  EXPECT_EQ(place_in_words(setup, {-18, 30}), "18 mm left of the seam, 30 mm above the bill");
  cap::Setup one_piece = setup;
  one_piece.cap.has_seam = false;
  EXPECT_EQ(place_in_words(one_piece, {12, 30}),
            "12 mm right of the centre line, 30 mm above the bill");
}

TEST(ReadMechanics, BrokenFilesSayWhatAndWhere) {
  const std::string text = data_file("mechanics.toml");
  const auto broken = [&](const std::string& from, const std::string& to) {
    std::string changed = text;
    const std::size_t at = changed.find(from);
    EXPECT_NE(at, std::string::npos);
    changed.replace(at, from.size(), to);
    try {
      read_mechanics(changed, "m.toml");
    } catch (const base::Error& error) {
      EXPECT_EQ(error.code, base::ErrorCode::bad_data);
      EXPECT_NE(error.where.find("m.toml"), std::string::npos);
      return true;
    }
    return false;
  };
  EXPECT_TRUE(broken("[friction]", "[fricton]"));
  EXPECT_TRUE(broken("[sway]\nsymbol", "[sway]\nsimbol"));
  EXPECT_TRUE(broken("[hole_mm]", "[hole_mm]\nvalue = \"wide\"\n[hole_mm2]"));
}

}  // namespace
}  // namespace buckram::needle
