// The laws of visible regions, on pictures nobody here drew and on made-up ones.
#include "artwork/arrangement.h"
#include "artwork/oracle.h"
#include "artwork/pictures.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

namespace buckram::tests {
namespace {

using artwork::Regions;
using geometry::Polygons;

const std::string kHead = "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 100 100'>";

std::vector<artwork::Thread> harbour() {
  return artwork::read_threads(base::read_file(BUCKRAM_ROOT "/data/threads/harbour.csv", 100'000),
                               "harbour.csv");
}

Regions read(const std::string& body, const std::vector<artwork::Thread>& threads,
             const artwork::RegionOptions& options = {}) {
  return artwork::visible_regions(artwork::read_svg(kHead + body + "</svg>", "t"),
                                  {1, 0, 0, -1, 0, 100}, threads, options);
}

// Every place where two outlines meet may be off by the grid, and slivers under 0.05 mm are left
// out: areas agree within this.
double slack(const Regions& regions) {
  double edges = 0;
  for (const auto& region : regions.regions) edges += geometry::perimeter(region.visible);
  return 0.002 * edges + 0.5;
}

void check_laws(const artwork::Drawing& drawing, const Regions& regions, const std::string& file) {
  std::vector<Polygons> painted, visible;
  for (const auto& shape : drawing.shapes)
    painted.push_back(geometry::transformed(shape.area, regions.placement));
  double sum = 0;
  for (const auto& region : regions.regions) {
    visible.push_back(region.visible);
    sum += geometry::area(region.visible);
    EXPECT_FALSE(region.visible.empty()) << file;
  }
  const double united = geometry::area(geometry::unite(visible));
  EXPECT_NEAR(sum, united, 1e-3 * slack(regions)) << file << ": disjoint";
  EXPECT_NEAR(united, geometry::area(geometry::unite(painted)), slack(regions))
      << file << ": nothing lost";
  for (std::size_t i = 0; i < regions.regions.size(); ++i) {
    const auto& region = regions.regions[i];
    EXPECT_EQ(region.order, static_cast<int>(i)) << file;
    EXPECT_LT(region.thread, static_cast<int>(regions.threads.size())) << file;
    EXPECT_LT(geometry::area(geometry::subtract(region.visible, region.sewn)),
              1e-3 * slack(regions))
        << file << ": sewn holds visible";
    std::vector<Polygons> later(visible.begin() + static_cast<long>(i) + 1, visible.end());
    const Polygons grown = geometry::subtract(region.sewn, region.visible);
    const Polygons bare = geometry::subtract(grown, geometry::unite(later));
    EXPECT_LT(geometry::area(bare), 0.003 * geometry::perimeter(region.sewn) + 0.01)
        << file << ": grown under later ones only";
  }
}

TEST(VisibleRegions, KeepTheirLawsOnRealPictures) {
  int n = 0;
  for (const PictureSet& set : picture_sets()) {
    for (const auto& path : sample(set, 12, 5)) {
      const artwork::Drawing drawing = artwork::read_svg(read_all(path), "s");
      check_laws(drawing, regions_of(drawing, harbour()), path.filename().string());
      ++n;
    }
  }
  if (n == 0) GTEST_SKIP() << "picture sets are not installed (tests/corpus)";
}

TEST(VisibleRegions, OfADiscOnASquareHaveTheAreasOfSchoolBooks) {
  const auto threads = harbour();
  const Regions r = read(
      "<rect x='10' y='10' width='80' height='80' fill='#24365a'/><circle cx='50' cy='50' r='20' "
      "fill='#f6f4ec'/>",
      threads);
  ASSERT_EQ(r.regions.size(), 2u);
  const double disc = base::kPi * 400, ring = base::kPi * (20 * 20 - 19.6 * 19.6);
  // Chords lie within 1/4000 of the box, 0.02 mm, of the circle: on average two thirds of that.
  const double chords = 2.0 / 3 * 0.02 * 2 * base::kPi * 20 + 0.1;
  EXPECT_NEAR(geometry::area(r.regions[0].visible), 6400 - disc, chords);
  EXPECT_NEAR(geometry::area(r.regions[0].sewn), 6400 - disc + ring, 2 * chords);
  EXPECT_NEAR(geometry::area(r.regions[1].sewn), disc, chords);
  EXPECT_EQ(r.threads[static_cast<std::size_t>(r.regions[0].thread)].name, "Harbour navy");
  EXPECT_EQ(r.threads[static_cast<std::size_t>(r.regions[1].thread)].name, "Chalk");
}

// A ground stays whole beneath what is narrower than 4.5 mm and is cut out beneath what is wider
// (common practice, no source): lettering is sewn onto its ground, not inlaid.
TEST(VisibleRegions, GroundsGoOnBeneathLetteringAndAreCutOutBeneathWideShapes) {
  const auto sewn_below_a_bar = [](double width) {
    const Regions r = read(
        "<rect x='10' y='10' width='80' height='80' fill='#24365a'/><rect x='40' y='30' "
        "width='" +
            std::to_string(width) + "' height='40' fill='#f6f4ec'/>",
        harbour());
    EXPECT_EQ(r.regions.size(), 2u);
    EXPECT_NEAR(geometry::area(r.regions[0].visible), 6400 - 40 * width, 0.1);
    return geometry::area(r.regions[0].sewn);
  };
  EXPECT_NEAR(sewn_below_a_bar(4.4), 6400, 0.1);
  // Beneath a wide bar the underlap alone, and what a disc of 4.5 mm does not reach in the corners.
  const double underlap = 6400 - (5 - 0.8) * (40 - 0.8);
  EXPECT_GE(sewn_below_a_bar(5.0), underlap - 0.1);
  EXPECT_LE(sewn_below_a_bar(5.0), underlap + 4 * (1 - base::kPi / 4) * 2.25 * 2.25);
}

// Ground, a bar on it, and 0.3 mm of ground further another: the two bars do not meet.
TEST(VisibleRegions, ReachUnderNeighboursThatTheyTouchOnly) {
  const Regions r = read(
      "<rect x='10' y='10' width='80' height='80' fill='#24365a'/>"
      "<rect x='20' y='20' width='20' height='2' fill='#c99a3b'/>"
      "<rect x='20' y='22.3' width='20' height='3' fill='#f6f4ec'/>",
      harbour());
  ASSERT_EQ(r.regions.size(), 3u);
  EXPECT_NEAR(geometry::area(r.regions[1].sewn), 40, 0.1);
}

TEST(VisibleRegions, WhatIsCoveredIsGone) {
  const Regions r =
      read("<rect x='20' y='20' width='20' height='20' fill='red'/><rect width='90' height='90'/>",
           harbour());
  ASSERT_EQ(r.regions.size(), 1u);
  EXPECT_EQ(r.threads.size(), 1u);  // and takes no thread
}

TEST(VisibleRegions, TouchingShapesOfOneThreadAreJoinedWhereThePaintOrderAllows) {
  const std::string left = "<rect x='10' y='10' width='40' height='80'/>",
                    right = "<rect x='50' y='10' width='40' height='80'/>";
  const std::string apart = "<rect x='60' y='10' width='30' height='80'/>";
  const std::string between = "<rect x='30' y='30' width='40' height='40' fill='red'/>";
  EXPECT_EQ(read(left + right, harbour()).regions.size(), 1u);
  EXPECT_EQ(read(left + right, harbour()).regions[0].visible.size(), 1u);
  EXPECT_EQ(read(left + apart, harbour()).regions.size(), 2u);
  // Red lies over the left and under the right: three regions.
  EXPECT_EQ(read(left + between + right, harbour()).regions.size(), 3u);
}

TEST(VisibleRegions, KeepWhatWasDrawnAndTheNamesOfAllThatIsJoined) {
  const Regions r = read(
      "<rect id='west' x='10' y='10' width='40' height='80'/><rect id='east' x='50' y='10' "
      "width='40' height='80'/><rect x='30' y='30' width='40' height='40' fill='red'/>",
      harbour());
  ASSERT_EQ(r.regions.size(), 2u);
  EXPECT_NEAR(geometry::area(r.regions[0].drawn), 80 * 80, 0.1);
  EXPECT_NEAR(geometry::area(r.regions[0].visible), 80 * 80 - 40 * 40, 0.1);
  EXPECT_NE(r.regions[0].source.find("west"), std::string::npos);
  ASSERT_EQ(r.regions[0].joined.size(), 1u);
  EXPECT_NE(r.regions[0].joined[0].find("east"), std::string::npos);
}

// The pale half touches a pale shape that was itself joined to one under the dark band.
TEST(VisibleRegions, JoiningNeverMovesAShapeUnderWhatItCovers) {
  const std::string body =
      "<rect x='0' y='0' width='100' height='30' fill='gold'/><rect x='0' y='20' width='100' "
      "height='60' fill='navy'/>"
      "<rect x='0' y='0' width='20' height='25' fill='gold'/><rect x='10' y='10' width='40' "
      "height='60' fill='gold'/>";
  const auto drawing = artwork::read_svg(kHead + body + "</svg>", "j");
  const Regions r = artwork::visible_regions(drawing, {1, 0, 0, -1, 0, 100}, own_threads(drawing));
  double gold = 0;
  for (const auto& region : r.regions)
    if (artwork::hex(region.colour) == "#ffd700") gold += geometry::area(region.visible);
  EXPECT_NEAR(gold, 100 * 20 + 20 * 5 + 40 * 50 - 10 * 5, 0.1);
}

TEST(VisibleRegions, ShapesOfOneElementStayOneRegion) {
  EXPECT_EQ(read("<path d='M0 0h9v9zM50 50h9v9z'/>", harbour()).regions.size(), 1u);
  EXPECT_EQ(
      read("<circle cx='50' cy='50' r='20' fill='#000' stroke='#000' stroke-width='4'/>", harbour())
          .regions.size(),
      1u);
}

TEST(VisibleRegions, HairlinesBetweenOutlinesAreNoRegions) {
  // The upper disc was meant to cover the lower; 0.02 mm of it look out.
  const Regions r = read(
      "<circle cx='50' cy='50' r='20.02' fill='red'/><circle cx='50' cy='50' r='20'/>", harbour());
  ASSERT_EQ(r.regions.size(), 1u);
  // A hairline that is meant stays, for a later stage to name.
  EXPECT_EQ(
      read("<path d='M10 50H90' stroke='red' stroke-width='.03'/>", harbour(), {0.4, 2, 15, 0})
          .regions.size(),
      1u);
}

TEST(VisibleRegions, NearEqualColoursMergeAndTooManyAreGrouped) {
  const std::string two =
      "<rect width='40' height='40' fill='#24365a'/><rect x='50' width='40' height='40' "
      "fill='#25375b'/>";
  EXPECT_EQ(read(two, harbour()).threads.size(), 1u);
  std::string many;
  for (int i = 0; i < 20; ++i)
    many += "<rect x='" + std::to_string(i * 5) + "' width='4' height='40' fill='hsl(" +
            std::to_string(18 * i) + ",80%,50%)'/>";
  artwork::RegionOptions few;
  few.max_threads = 6;
  const Regions r = read(many, harbour(), few);
  EXPECT_EQ(r.threads.size(), 6u);
  EXPECT_FALSE(r.notes.empty());
}

TEST(VisibleRegions, AreTheSameEveryTime) {
  const std::string body =
      "<g opacity='.7'><circle cx='40' cy='50' r='30' fill='teal'/><circle cx='60' cy='50' r='30' "
      "fill='gold' stroke='red'/></g>";
  const Regions a = read(body, harbour()), b = read(body, harbour());
  ASSERT_EQ(a.regions.size(), b.regions.size());
  for (std::size_t i = 0; i < a.regions.size(); ++i) {
    EXPECT_EQ(a.regions[i].visible, b.regions[i].visible);
    EXPECT_EQ(a.regions[i].sewn, b.regions[i].sewn);
  }
}

// The two ways of finding what shows give the same, on piles of random shapes.
TEST(Arrangement, PairwiseAndUnderCoverAgree) {
  base::Random random(11);
  for (int round = 0; round < 10; ++round) {
    std::vector<artwork::Painted> pile;
    for (int i = 0; i < 25; ++i) {
      const double x = random.uniform(0, 80);
      const double y = random.uniform(0, 80);
      const double w = random.uniform(2, 40);
      const double h = random.uniform(2, 40);
      artwork::Painted painted;
      painted.area =
          geometry::unite({{{x, y}, {x + w, y}, {x + w / 2, y + h}}}, geometry::FillRule::nonzero);
      painted.box = geometry::bounds(painted.area);
      pile.push_back(std::move(painted));
    }
    artwork::WorkLimit work;
    const auto a = artwork::what_shows_pairwise(pile, work),
               b = artwork::what_shows_under_cover(pile, work);
    for (std::size_t i = 0; i < pile.size(); ++i)
      EXPECT_NEAR(geometry::area(a[i]), geometry::area(b[i]), 0.02) << i;
  }
}

TEST(Placement, PutsTheMiddleOfThePaintedBoxInItsPlaceUpright) {
  const auto drawing = artwork::read_svg(kHead + "<path d='M10 20h40v20z'/></svg>", "p");
  const auto map = artwork::placement_matrix(drawing, {{1, 30}, 0.5});
  EXPECT_EQ(map(drawing.painted.middle()), (geometry::Point{1, 30}));
  EXPECT_GT(map({0, 20}).y, map({0, 40}).y);  // up on the page is up on the cap
}

}  // namespace
}  // namespace buckram::tests
