// shop.toml: read strictly, and nothing beyond what the shop owns is offered.
#include "advise/levers.h"
#include "advise/owned.h"
#include "needle/shop.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <string>

namespace buckram::advise {
namespace {

const char* const kShop = R"([owns]
needles = ["75:sharp", "80:sharp"]
raised_plates_mm = [2, 1]
packing_mm = [0.8]
mounts = ["rotary"]
clips = false
press = false
slowest_spm = 600
lowest_foot_mm = 3
)";

struct Offered {
  std::vector<Lever> all;

  std::vector<std::string> ids(LeverKind kind) const {
    std::vector<std::string> ids;
    for (const Lever& lever : all) {
      if (lever.kind != kind) continue;
      for (const Level& level : lever.levels) ids.push_back(level.id);
    }
    return ids;
  }
};

Offered offered(const Owned& owned) {
  const needle::testing::Shop shop(BUCKRAM_ROOT "/data");
  cap::Setup setup = shop.setup("six-panel-structured-mid", "rotary");
  setup.bench.speed_spm = 800;
  setup.bench.foot_mm = 5;
  const auto needles = cap::read_needles(shop.file("needles.toml"), "needles.toml");
  return {levers(setup, needles, {{}, 27, owned})};
}

TEST(Owned, EveryKeyIsRead) {
  const Owned owned = read_owned(kShop, "shop.toml");
  EXPECT_EQ(*owned.needles, (std::vector<std::string>{"75:sharp", "80:sharp"}));
  EXPECT_EQ(*owned.raised_plates_mm, (std::vector<double>{1, 2}));
  EXPECT_EQ(*owned.packing_mm, std::vector<double>{0.8});
  EXPECT_EQ(*owned.mounts, std::vector<std::string>{"rotary"});
  EXPECT_FALSE(owned.has_clips);
  EXPECT_FALSE(owned.has_press);
  EXPECT_EQ(owned.slowest_spm, 600);
  EXPECT_EQ(owned.lowest_foot_mm, 3);
  EXPECT_EQ(read_owned("", "shop.toml"), Owned{});
}

TEST(Owned, AMistypedKeyIsRefusedWithTheNearest) {
  try {
    read_owned("[owns]\nclip = true\n", "shop.toml");
    FAIL() << "was taken";
  } catch (const base::Error& error) {
    EXPECT_EQ(error.code, base::ErrorCode::bad_data);
    EXPECT_NE((error.what + error.hint).find("clips"), std::string::npos);
  }
  EXPECT_THROW(read_owned("[owns]\npacking_mm = [-1]\n", "shop.toml"), base::Error);
  EXPECT_THROW(read_owned("[own]\n", "shop.toml"), base::Error);
}

TEST(Owned, NothingElseIsOffered) {
  const Offered all = offered({}), mine = offered(read_owned(kShop, "shop.toml"));
  EXPECT_EQ(mine.ids(LeverKind::raise),
            (std::vector<std::string>{"bench.raise_mm=1", "bench.raise_mm=2"}));
  EXPECT_EQ(mine.ids(LeverKind::packing), std::vector<std::string>{"bench.packing_mm=0.8"});
  EXPECT_EQ(mine.ids(LeverKind::needle), std::vector<std::string>{"bench.needle=75:sharp"});
  EXPECT_EQ(mine.ids(LeverKind::speed),
            (std::vector<std::string>{"bench.speed_spm=750", "bench.speed_spm=700",
                                      "bench.speed_spm=650", "bench.speed_spm=600"}));
  EXPECT_EQ(mine.ids(LeverKind::foot).back(), "bench.foot_mm=3");
  EXPECT_FALSE(all.ids(LeverKind::clips).empty());
  EXPECT_FALSE(all.ids(LeverKind::pressed).empty());
  EXPECT_TRUE(mine.ids(LeverKind::clips).empty());
  EXPECT_TRUE(mine.ids(LeverKind::pressed).empty());
}

TEST(Owned, AShopWithoutPlatesAndPackingIsOfferedNone) {
  const Offered none = offered(read_owned("[owns]\nraised_plates_mm=[]\npacking_mm=[]\n", "s"));
  EXPECT_TRUE(none.ids(LeverKind::raise).empty());
  EXPECT_TRUE(none.ids(LeverKind::packing).empty());
}

}  // namespace
}  // namespace buckram::advise
