#include "report/cap_view.h"

#include "report/crest.h"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

namespace buckram::report_tests {
namespace {

std::vector<int> degrees(const std::vector<double>& angles) {
  std::vector<int> all;
  for (const double a : angles) all.push_back(static_cast<int>(std::lround(a * 180 / base::kPi)));
  return all;
}

// Common practice, no source: a five-panel cap is a six-panel one whose two front panels are cut as
// one piece.
TEST(CapView, FiveSeamsStandWhereSixDoButForTheFront) {
  cap::Cap cap = six_panel_setup().cap;
  EXPECT_EQ(degrees(report::seam_angles(cap)), (std::vector<int>{0, 60, 120, 180, 240, 300}));
  cap.panels = 5;
  cap.has_seam = false;
  EXPECT_EQ(degrees(report::seam_angles(cap)), (std::vector<int>{60, 120, 180, 240, 300}));
}

TEST(CapView, EyeletsAreWhereTheFileHasThemThenOneAPanel) {
  const cap::Setup setup = six_panel_setup();
  const cap::Profile profile(setup.cap.crown);
  cap::Cap cap = setup.cap;
  cap.eyelets.clear();
  EXPECT_EQ(degrees(report::eyelet_angles(cap, profile)),
            (std::vector<int>{30, 90, 150, 210, 270, 330}));
  const double arc = profile.radius(100) * base::kPi / 4;  // 45 degrees
  cap.eyelets = {{{-arc, 100}, 6}, {{arc, 100}, 6}};
  EXPECT_EQ(degrees(report::eyelet_angles(cap, profile)),
            (std::vector<int>{-45, 45, 90, 150, 210, 270}));
  EXPECT_EQ(report::eyelet_arc_mm(cap), 100);
  cap.panels = 5;
  cap.has_seam = false;
  EXPECT_EQ(degrees(report::eyelet_angles(cap, profile)),
            (std::vector<int>{-45, 45, 90, 150, 210, 270}));
}

}  // namespace
}  // namespace buckram::report_tests
