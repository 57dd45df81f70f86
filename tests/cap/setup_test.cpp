// Data files as shipped, and what broken ones say.
#include "cap/cap.h"

#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <utility>
#include <vector>

namespace buckram::cap {
namespace {

std::string data(const std::string& name) {
  return base::read_file(std::string(BUCKRAM_ROOT) + "/data/" + name, 1 << 20);
}

constexpr const char* kCaps[] = {"six-panel-structured-low",  "six-panel-structured-mid",
                                 "six-panel-structured-high", "six-panel-soft-low",
                                 "five-panel-structured-mid", "five-panel-foam-backed"};
constexpr const char* kMounts[] = {"rotary",      "rotary-raised", "flat-cap-hoop",
                                   "panel-clamp", "loose-panels",  "flat-hoop"};

TEST(Data, EveryCapOnEveryMountIsSound) {
  const auto needles = read_needles(data("needles.toml"), "needles.toml");
  for (const char* cap_name : kCaps) {
    for (const char* mount_name : kMounts) {
      cap::Setup setup;
      setup.cap = read_cap(data(std::string("caps/") + cap_name + ".toml"), cap_name);
      setup.mount = read_mount(data(std::string("mounts/") + mount_name + ".toml"), mount_name);
      EXPECT_EQ(setup.cap.name, cap_name);
      EXPECT_EQ(setup.mount.name, mount_name);
      setup.bench = bench_of(setup.mount, find_needle(needles, "75:sharp"), {});
      EXPECT_NO_THROW(check(setup));
      EXPECT_FALSE(reach(setup).empty());
      EXPECT_GT(stack_mm(setup), 0.3);
    }
  }
}

TEST(Data, NeedlesFromSixtyFiveToAHundredWithBothPoints) {
  const auto needles = read_needles(data("needles.toml"), "needles.toml");
  for (const char* name :
       {"65:sharp", "65:ball", "70:sharp", "75:sharp", "80:ball", "90:sharp", "100:ball"}) {
    EXPECT_EQ(find_needle(needles, name).name, name);
  }
  EXPECT_GE(read_fabrics(data("fabrics.toml"), "fabrics.toml").size(), 6U);
}

base::Error error_of(const std::function<void()>& act) {
  try {
    act();
  } catch (const base::Error& error) {
    return error;
  }
  ADD_FAILURE() << "nothing was thrown";
  return {};
}

TEST(Data, UnknownNamesGetTheNearest) {
  const auto needles = read_needles(data("needles.toml"), "needles.toml");
  const base::Error error = error_of([&] { find_needle(needles, "80:sharpp"); });
  EXPECT_EQ(error.code, base::ErrorCode::unknown_name);
  EXPECT_NE(error.hint.find("80:sharp"), std::string::npos);
}

std::string swapped(std::string text, const std::string& from, const std::string& to) {
  const std::size_t at = text.find(from);
  EXPECT_NE(at, std::string::npos) << from;
  return text.replace(at, from.size(), to);
}

TEST(Data, BrokenFilesSayWhatAndWhere) {
  const std::string cap = data("caps/six-panel-structured-mid.toml"),
                    mount = data("mounts/rotary.toml");
  const auto bad_cap = [&](const std::string& from, const std::string& to) {
    return error_of([&] { read_cap(swapped(cap, from, to), "my-cap.toml"); });
  };
  const auto bad_mount = [&](const std::string& from, const std::string& to) {
    return error_of([&] { read_mount(swapped(mount, from, to), "my-mount.toml"); });
  };
  for (const base::Error& error :
       {bad_cap("s90_mm = 140", "s90_mm = 14000"), bad_cap("s90_mm = 140", "s90_mm = \"tall\""),
        bad_cap("[crown]", "[crwon]"), bad_cap("panels = 6", "panels = 6\npanel = 5"),
        bad_mount("tautness = 0.7", "tautness = 7"),
        bad_mount("\"rotary\"\nsource", "\"round\"\nsource"),
        bad_mount("turn_deg = 180", "turn_deg = 90"),
        bad_mount("origin_mm = [0, 40]", "origin_mm = [0]"),
        bad_mount("x1_mm = 110", "x1_mm = -120")}) {
    EXPECT_EQ(error.code, base::ErrorCode::bad_data);
    EXPECT_NE(error.where.find("my-"), std::string::npos) << base::message(error);
    EXPECT_FALSE(error.what.empty());
  }
}

// What the needle goes through: the cap's layers as stiff as the cap is, the backing as it comes;
// no stiffener where the mount sews the cloth alone.
TEST(Layers, FollowCapMountAndBench) {
  cap::Setup setup;
  setup.cap.layers = {{"twill", 4, 0.5, false}, {"buckram", 5, 0.6, true}};
  setup.cap.stiffness = 1.5;
  setup.bench.backing = {{"tear-away", 1.5, 0.4, false}};
  const std::vector<Layer> all = layers_of(setup);
  ASSERT_EQ(all.size(), 3U);
  EXPECT_EQ(all[0].hardness_n_per_mm, 6);
  EXPECT_EQ(all[1].hardness_n_per_mm, 7.5);
  EXPECT_EQ(all[2].hardness_n_per_mm, 1.5) << "backing is not part of the cap";
  EXPECT_NEAR(stack_mm(setup), 1.5, 1e-12);
  setup.mount.buckram_is_on = false;
  EXPECT_EQ(layers_of(setup).size(), 2U);
  EXPECT_NEAR(stack_mm(setup), 0.9, 1e-12);
}

TEST(Seam, LiesUnderTheNeedleWhereCapAndMountHaveIt) {
  cap::Setup setup;
  EXPECT_TRUE(has_seam(setup));
  setup.mount.seam_is_on = false;
  EXPECT_FALSE(has_seam(setup));
  setup.mount.seam_is_on = true, setup.cap.has_seam = false;
  EXPECT_FALSE(has_seam(setup));
}

// Gaps were read on the first bench, however often it is changed after that.
TEST(WithBench, RemembersTheBenchThatWasRead) {
  cap::Setup setup;
  setup.bench.raise_mm = 0.5;
  Bench changed = setup.bench;
  changed.raise_mm = 1;
  const cap::Setup once = with_bench(setup, changed);
  EXPECT_EQ(once.bench.raise_mm, 1);
  changed.raise_mm = 2;
  const cap::Setup twice = with_bench(once, changed);
  EXPECT_EQ(twice.bench.raise_mm, 2);
  ASSERT_TRUE(twice.read_with.has_value());
  EXPECT_EQ(twice.read_with->raise_mm, 0.5);
}

TEST(BenchOf, StartsFromTheMount) {
  Mount mount;
  mount.raise_mm = 2, mount.tautness = 0.4, mount.foot_mm = 3, mount.turn_deg = 0;
  mount.turned_by = TurnedBy::controller;
  const Bench bench = bench_of(mount, {}, {{"tear-away", 1.5, 0.4, false}});
  EXPECT_EQ(bench.raise_mm, 2);
  EXPECT_EQ(bench.tautness, 0.4);
  EXPECT_EQ(bench.foot_mm, 3);
  EXPECT_EQ(bench.turn_deg, 0);
  EXPECT_EQ(bench.turned_by, TurnedBy::controller);
  EXPECT_EQ(bench.backing.size(), 1U);
}

TEST(Check, NamesTheKeyBeyondItsRange) {
  cap::Setup setup;
  setup.bench.raise_mm = 3.5;
  EXPECT_EQ(error_of([&] { check(setup); }).where, "bench.raise_mm");
  setup.bench.raise_mm = 0;
  setup.readings = {{0, 16, 22, 0.4}};
  EXPECT_EQ(error_of([&] { check(setup); }).where, "gap.gap_mm");
  setup.readings.clear();
  EXPECT_NO_THROW(check(setup));
  // Each as it should be, and then beyond what the header's ranges allow or no number at all.
  const double nan = std::nan("");
  const std::vector<std::pair<const char*, std::function<void(cap::Setup&)>>> broken{
      {"cap.crown_stiffness", [](cap::Setup& s) { s.cap.stiffness = 3.1; }},
      {"bench.packing_mm", [](cap::Setup& s) { s.bench.packing_mm = -0.1; }},
      {"bench.raise_mm", [](cap::Setup& s) { s.bench.raise_mm = 2, s.bench.packing_mm = 1.1; }},
      {"bench.tautness", [](cap::Setup& s) { s.bench.tautness = 1.1; }},
      {"bench.foot_mm", [&](cap::Setup& s) { s.bench.foot_mm = nan; }},
      {"bench.speed_spm", [](cap::Setup& s) { s.bench.speed_spm = 1501; }},
      {"bench.slowest_spm", [](cap::Setup& s) { s.bench.slowest_spm = 50; }},
      {"bench.needle", [](cap::Setup& s) { s.mount.hole_mm = 0.9; }},
      {"bench.heads", [](cap::Setup& s) { s.bench.heads = 0; }},
      {"bench.needles", [](cap::Setup& s) { s.bench.needles = 31; }},
      {"gap.sd_mm", [](cap::Setup& s) { s.readings = {{0, 16, 1, 0.01}}; }},
      {"gap.x_mm", [](cap::Setup& s) { s.readings = {{151, 16, 1, 0.4}}; }},
      {"gap.y_mm", [](cap::Setup& s) { s.readings = {{0, -1, 1, 0.4}}; }}};
  for (const auto& [key, change] : broken) {
    cap::Setup changed = setup;
    change(changed);
    EXPECT_EQ(error_of([&] { check(changed); }).where, key);
  }
}

}  // namespace
}  // namespace buckram::cap
