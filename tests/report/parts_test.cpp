// Names that an operator can find on the cap.
#include "report/parts.h"

#include "report/crest.h"
#include "report/words.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <ctime>
#include <set>

namespace buckram::report {
namespace {

// Zigzags between two heights, each from x on, in plan order.
struct Upright {
  double x, y0, y1;
  int thread;
  std::string source;
};

stitch::Plan uprights(const std::vector<Upright>& all) {
  std::vector<stitch::PlanObject> objects;
  for (std::size_t k = 0; k < all.size(); ++k)
    objects.push_back(
        {static_cast<int>(k) + 1, stitch::Kind::column, all[k].thread, all[k].source, ""});
  stitch::Builder b({{"Chalk", "#ffffff", 27, 1, ""}, {"Brass", "#c8973a", 27, 2, ""}}, objects);
  for (std::size_t k = 0; k < all.size(); ++k) {
    b.begin(static_cast<int>(k) + 1, stitch::Layer::top);
    bool is_left = true;
    for (double y = all[k].y0; y <= all[k].y1; y += 0.2, is_left = !is_left)
      b.sew({all[k].x + (is_left ? 0.0 : 2.0), y});
    b.trim();
  }
  return b.finish();
}

TEST(PartNames, KeepTheArtworksOwnNameWhereItReadsAsAWord) {
  const PartNames names = name_parts(uprights({{0, 20, 30, 0, "use[1]/letter-ground"}}));
  EXPECT_EQ(part_name(names, 1).full, "Letter ground");
  EXPECT_EQ(part_name(names, 1).beside, "letter ground");
  EXPECT_EQ(part_name(names, 99).full, "Stitches");
}

// What nobody named is told by thread, form and place; lettering by what it says.
TEST(PartNames, NeverTellAnElementsNumber) {
  for (const char* source : {"textPath[1]", "path[3]", "a[2]", "use[1]/symbol[4]"}) {
    const std::string name = part_name(name_parts(uprights({{0, 20, 30, 0, source}})), 1).full;
    EXPECT_EQ(name.find_first_of("[]"), std::string::npos) << name;
    EXPECT_EQ(name.find("Chalk column"), 0u) << name;
  }
  EXPECT_EQ(part_name(name_parts(uprights({{0, 20, 30, 0, "BRIGG SAILING"}})), 1).full,
            "BRIGG SAILING");
  EXPECT_EQ(part_name(name_parts(uprights({{0, 20, 30, 0, "Brigg & Sons"}})), 1).beside,
            "Brigg & Sons");
}

// 20 mm of design, a part 2 mm right of its middle: worst places there are "right of the seam".
TEST(PartNames, WhatLiesBesideTheMiddleIsNotCalledTheMiddle) {
  const PartNames names = name_parts(uprights({{-11, 10, 60, 1, "path[1]"},
                                               {9, 10, 60, 1, "path[2]"},
                                               {1, 20, 26, 0, "path[3]"},
                                               {-1, 50, 56, 0, "path[4]"}}));
  EXPECT_NE(part_name(names, 3).full.find("right"), std::string::npos) << part_name(names, 3).full;
  EXPECT_EQ(part_name(names, 4).full, "Chalk column 2 mm wide, top");
}

TEST(PartNames, CountWhatStandsInARow) {
  const PartNames names = name_parts(uprights({{0, 20, 28, 0, "path[2]"},
                                               {5, 20, 28, 0, "path[3]"},
                                               {-5, 20, 28, 0, "path[1]"},
                                               {0, 40, 60, 1, "path[9]"}}));
  EXPECT_NE(part_name(names, 1).full.find("2nd of 3 in a row"), std::string::npos);
  EXPECT_NE(part_name(names, 2).full.find("3rd of 3 in a row"), std::string::npos);
  EXPECT_NE(part_name(names, 3).full.find("1st of 3 in a row"), std::string::npos);
  EXPECT_EQ(part_name(names, 4).full.find("row"), std::string::npos);
}

TEST(PartNames, TellThreadFormAndPlace) {
  const PartNames names = name_parts(
      uprights({{-20, 20, 26, 0, "path[1]"}, {20, 50, 60, 1, "g12"}, {-20, 54, 60, 0, "path[3]"}}));
  EXPECT_EQ(part_name(names, 1).full, "Chalk column 2 mm wide, bottom left");
  EXPECT_EQ(part_name(names, 2).full, "Brass column 2 mm wide, top right");
  EXPECT_EQ(part_name(names, 3).full, "Chalk column 2 mm wide, top left");
}

// Pieces that one element was cut into are one part; equal parts are told apart.
TEST(PartNames, JoinPiecesAndTellEqualsApart) {
  const PartNames names = name_parts(uprights({{0, 20, 25, 0, "path[1]"},
                                               {0, 25, 30, 0, "path[1]"},
                                               {-20, 10, 60, 1, "path[5]"},
                                               {20, 10, 60, 1, "path[6]"},
                                               {0, 20, 30, 1, "path[7]"}}));
  EXPECT_EQ(part_name(names, 1).full, part_name(names, 2).full);
  EXPECT_NE(part_name(names, 3).full, part_name(names, 4).full);
}

// Two uprights too far apart to touch, and a third between them: one part, whichever comes first.
TEST(PartNames, PiecesAreJoinedByWhatLiesBetweenThemInAnyOrder) {
  std::vector<Upright> all{{0, 20, 25, 0, "path[1]"},
                           {4, 20, 25, 0, "path[1]"},
                           {2.1, 20, 25, 0, "path[1]"},
                           {0, 40, 45, 0, "path[1]"}};
  std::sort(all.begin(), all.end(),
            [](const Upright& a, const Upright& b) { return a.x + a.y0 < b.x + b.y0; });
  do {
    const PartNames names = name_parts(uprights(all));
    std::set<std::string> joined, apart;
    for (std::size_t k = 0; k < all.size(); ++k)
      (all[k].y0 < 30 ? joined : apart).insert(part_name(names, static_cast<int>(k) + 1).full);
    EXPECT_EQ(joined.size(), 1U);
    EXPECT_NE(*joined.begin(), *apart.begin());
  } while (std::next_permutation(all.begin(), all.end(), [](const Upright& a, const Upright& b) {
    return a.x + a.y0 < b.x + b.y0;
  }));
}

// Tens of thousands of separate specks, of one element and each of its own: done in moments of
// processor time.
TEST(PartNames, ManySpecksAreNamedInMoments) {
  for (const bool is_one_element : {true, false}) {
    std::vector<Upright> specks;
    for (int k = 0; k < 40'000; ++k)
      specks.push_back({k % 200 * 4.0, k / 200 * 2.0, k / 200 * 2.0 + 0.5, 0,
                        is_one_element ? "path[1]" : "path[" + std::to_string(k) + "]"});
    const stitch::Plan plan = uprights(specks);
    const std::clock_t start = std::clock();
    EXPECT_EQ(name_parts(plan).size(), specks.size());
    EXPECT_LT(static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC, 3);
  }
}

TEST(NeedleWords, GiveBothNumberings) {
  EXPECT_EQ(needle_words("80:sharp"), "80/12 sharp");
  EXPECT_EQ(needle_words("75:ball"), "75/11 ball");
  EXPECT_EQ(needle_words("90:sharp"), "90/14 sharp");
  EXPECT_EQ(needle_words("83:sharp"), "83 sharp");
}

}  // namespace
}  // namespace buckram::report
