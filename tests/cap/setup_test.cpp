// Data files as shipped, and what broken ones say.
#include "cap/cap.h"

#include <gtest/gtest.h>

#include <functional>

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

TEST(Check, NamesTheKeyBeyondItsRange) {
  cap::Setup setup;
  setup.bench.raise_mm = 3.5;
  EXPECT_EQ(error_of([&] { check(setup); }).where, "bench.raise_mm");
  setup.bench.raise_mm = 0;
  setup.readings = {{0, 16, 22, 0.4}};
  EXPECT_EQ(error_of([&] { check(setup); }).where, "gap.gap_mm");
}

}  // namespace
}  // namespace buckram::cap
