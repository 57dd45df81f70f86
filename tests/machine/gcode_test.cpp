// What G-code must do: come back as it went out, whichever way up; start and end at the origin; and
// be taken by an interpreter that is not ours.
#include "machine/sample.h"

#include "base/base.h"

#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <sys/wait.h>
#include <unistd.h>

namespace buckram::machine {
namespace {

using cap::MountKind;
using cap::TurnedBy;
using geometry::Point;

struct WayUp {
  MountKind kind;
  double turn_deg;
  TurnedBy by;
};

class EachWayUp : public testing::TestWithParam<WayUp> {
 protected:
  cap::Setup setup() const {
    return setup_for(GetParam().kind, GetParam().turn_deg, GetParam().by);
  }
};

INSTANTIATE_TEST_SUITE_P(All, EachWayUp,
                         testing::Values(WayUp{MountKind::rotary, 0, TurnedBy::file},
                                         WayUp{MountKind::rotary, 0, TurnedBy::controller},
                                         WayUp{MountKind::rotary, 180, TurnedBy::file},
                                         WayUp{MountKind::rotary, 180, TurnedBy::controller},
                                         WayUp{MountKind::flat, 0, TurnedBy::file},
                                         WayUp{MountKind::flat, 180, TurnedBy::file},
                                         WayUp{MountKind::flat, 180, TurnedBy::controller}));

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) lines.push_back(line);
  return lines;
}

std::string without_comments(const std::string& text) {
  std::string plain;
  bool is_comment = false;
  for (const char c : text) {
    if (c == '(') is_comment = true;
    if (!is_comment) plain += c;
    if (c == ')') is_comment = false;
  }
  return plain;
}

void expect_same_stitches(const stitch::Plan& a, const stitch::Plan& b) {
  ASSERT_EQ(a.size(), b.size());
  for (int i = 0; i < a.size(); ++i) {
    const auto k = static_cast<std::size_t>(i);
    EXPECT_EQ(a.op[k], b.op[k]) << i;
    EXPECT_NEAR(a.x[k], b.x[k], 0.002) << i;
    EXPECT_NEAR(a.y[k], b.y[k], 0.002) << i;
  }
}

TEST_P(EachWayUp, MapIsUndoneByItsInverse) {
  const MachineMap map(setup());
  base::Random random(5);
  for (int i = 0; i < 1000; ++i) {
    const double x = random.uniform(-75, 75);
    const Point chart{x, random.uniform(4, 85)};
    const Point back = map.to_chart(map.to_machine(chart));
    EXPECT_NEAR(back.x, chart.x, 0.001);
    EXPECT_NEAR(back.y, chart.y, 0.001);
  }
  EXPECT_EQ(map.to_machine(setup().mount.origin), Point(Point{0, 0} * (map.is_turned() ? -1 : 1)));
}

TEST_P(EachWayUp, ReadBackGivesTheSameOpsAndPoints) {
  const stitch::Plan plan = sample_plan();
  const stitch::Plan back = read_gcode(write_gcode(plan, setup()), "t", setup());
  expect_same_stitches(plan, back);
  ASSERT_EQ(back.blocks.size(), plan.blocks.size());
  for (std::size_t i = 0; i < plan.blocks.size(); ++i) {
    EXPECT_EQ(back.blocks[i].object, plan.blocks[i].object);
    EXPECT_EQ(back.blocks[i].layer, plan.blocks[i].layer);
    EXPECT_EQ(back.blocks[i].thread, plan.blocks[i].thread);
    EXPECT_EQ(back.blocks[i].first, plan.blocks[i].first);
    EXPECT_EQ(back.blocks[i].count, plan.blocks[i].count);
  }
  ASSERT_EQ(back.threads.size(), 2U);
  EXPECT_EQ(back.threads[1].name, "Signal red");
  EXPECT_EQ(back.threads[1].rgb, "#b4432f");
  EXPECT_EQ(back.threads[1].needle, 7);
  EXPECT_EQ(back.threads[0].number, "");
  EXPECT_EQ(back.threads[1].number, "R-40");
  EXPECT_EQ(back.threads[1].tex, 18.5);
  EXPECT_EQ(back.objects[1].kind, stitch::Kind::fill);
}

TEST_P(EachWayUp, ReadBackWithoutCommentsGivesTheSameStitches) {
  stitch::Plan plan = sample_plan();
  const std::string text = without_comments(write_gcode(plan, setup()));
  plan.op[kStopEntry] = stitch::Op::change;  // a bare M0 is a thread change
  expect_same_stitches(plan, read_gcode(text, "t", setup()));
}

// An F is upright when its stem is on the left and its arms lie at the top: seen on the chart
// after the round trip whatever the setting, and in the file turned exactly when the file turns.
TEST_P(EachWayUp, DrawnCapIsUpright) {
  const stitch::Plan back = read_gcode(write_gcode(sample_plan(), setup()), "t", setup());
  EXPECT_NEAR(back.x[1], -20, 0.01);       // foot of the stem, left
  EXPECT_LT(back.y[1], back.y[21] - 30);   // and below its head
  EXPECT_GT(back.x[26], back.x[21] + 20);  // the upper arm points right
  const auto lines = lines_of(without_comments(write_gcode(sample_plan(), setup())));
  std::vector<double> stem_y;
  for (const std::string& line : lines) {
    double x = 0, y = 0;
    if (std::sscanf(line.c_str(), "G1 X%lf Y%lf", &x, &y) == 2) stem_y.push_back(y);
  }
  const bool turned = GetParam().turn_deg == 180 && GetParam().by == TurnedBy::file;
  EXPECT_EQ(stem_y[0] > stem_y[20], turned);
}

TEST_P(EachWayUp, StartsAndEndsAtTheOrigin) {
  std::vector<std::string> moves;
  for (const std::string& line : lines_of(write_gcode(sample_plan(), setup()))) {
    if (line.starts_with("G0 ") || line.starts_with("G1 ")) moves.push_back(line);
  }
  EXPECT_EQ(moves.front(), "G0 X0.000 Y0.000");
  EXPECT_EQ(moves.back(), "G0 X0.000 Y0.000");
}

TEST(Gcode, WalkRoundTheBoxTouchesTheDesignAndIsNotPartOfThePlan) {
  const cap::Setup setup = setup_for(MountKind::flat, 0, TurnedBy::file);
  GcodeOptions options;
  options.walk_box = true;
  const std::string text = write_gcode(sample_plan(), setup, options);
  EXPECT_NE(text.find("G0 X-23.000 Y-10.000\n"), std::string::npos);  // corner less the origin
  EXPECT_NE(text.find("G0 X7.000 Y30.000\n"), std::string::npos);
  expect_same_stitches(sample_plan(), read_gcode(text, "t", setup));
  expect_same_stitches(sample_plan(), [&] {
    stitch::Plan plan = read_gcode(without_comments(text), "t", setup);
    plan.op[kStopEntry] = stitch::Op::stop;
    return plan;
  }());
}

TEST(Gcode, SlowerBlocksSayTheirSpeedAndReadBack) {
  stitch::Plan plan = sample_plan();
  ASSERT_GT(plan.blocks.size(), 2U);
  plan.blocks[1].speed_spm = 450;
  const cap::Setup setup = setup_for(MountKind::rotary, 180, TurnedBy::file);
  const std::string text = write_gcode(plan, setup, {.speed_spm = 800});
  const std::size_t slow = text.find("S450\n");
  ASSERT_NE(slow, std::string::npos);
  EXPECT_LT(text.find("S800"), slow);
  EXPECT_NE(text.find("S800", slow), std::string::npos);  // and fast again
  const stitch::Plan back = read_gcode(text, "back.gcode", setup);
  for (std::size_t k = 0; k < plan.blocks.size(); ++k)
    EXPECT_EQ(back.blocks[k].speed_spm, plan.blocks[k].speed_spm) << k;
}

TEST(Gcode, NeedleDriveIsOffDuringEveryMoveTrimAndStop) {
  const cap::Setup setup = setup_for(MountKind::rotary, 180, TurnedBy::file);
  bool is_on = false;
  int checked = 0;
  for (const std::string& line : lines_of(write_gcode(sample_plan(), setup))) {
    if (line.starts_with("M3")) is_on = true;
    if (line.starts_with("M5")) is_on = false;
    if (line.starts_with("G1")) {
      EXPECT_TRUE(is_on) << line;
    }
    if (line.starts_with("G0") || line.starts_with("M8") || line.starts_with("M0")) {
      EXPECT_FALSE(is_on) << line;
      ++checked;
    }
  }
  EXPECT_GE(checked, 7);
}

TEST(Gcode, InchesStepsAndModalMotionAreUnderstood) {
  const cap::Setup setup = setup_for(MountKind::flat, 0, TurnedBy::file);
  const stitch::Plan plan =
      read_gcode("%\nn10 g20 g91 g1 x1 y 0 . 5\nx-.5 ; on\nG21 G90\nX+2Y3\nM30\n", "t", setup);
  ASSERT_EQ(plan.size(), 4);
  EXPECT_DOUBLE_EQ(plan.x[0], 3 + 25.4);
  EXPECT_DOUBLE_EQ(plan.y[0], 30 + 12.7);
  EXPECT_DOUBLE_EQ(plan.x[1], 3 + 12.7);
  EXPECT_DOUBLE_EQ(plan.x[2], 5);
  EXPECT_EQ(plan.op[3], stitch::Op::end);
}

TEST(Gcode, JoinedFilesLoseNoStitch) {
  const cap::Setup setup = setup_for(MountKind::flat, 0, TurnedBy::file);
  const char* const kJoined[] = {
      "(sewing)\nG1 X1 Y1\nX2\n(return)\nG0 X0 Y0\n(sewing)\nG1 X3 Y1\nX4\n(return)\nG0 X0 "
      "Y0\nM2\n",
      "(sewing)\nG1 X1 Y1\nX2\n(sewing)\nX3\nX4\nM2\n",
      "G1 X1 Y1\nX2\n(sewing)\nX3\nX4\n(return)\nM2\n",
      "(return)\nG0 X9 Y9\n(sewing)\nG1 X1 Y1\nX2\nX3\n(return)\nX4\nM2\n",
  };
  for (const char* text : kJoined) {
    const stitch::Plan plan = read_gcode(text, "t", setup);
    std::vector<double> sewn_x;
    for (int i = 0; i < plan.size(); ++i) {
      const auto k = static_cast<std::size_t>(i);
      if (plan.op[k] == stitch::Op::sew) sewn_x.push_back(plan.x[k] - setup.mount.origin.x);
    }
    EXPECT_EQ(sewn_x, (std::vector<double>{1, 2, 3, 4})) << text;
    EXPECT_NE(plan.op.front(), stitch::Op::move) << text;
  }
}

TEST(Gcode, BadInputIsRefusedWithItsLine) {
  const cap::Setup setup = setup_for(MountKind::flat, 0, TurnedBy::file);
  const struct {
    const char* text;
    const char* what;
    const char* where;
  } cases[] = {
      {"G21\nhello\nM2\n", "H is not followed", "t: line 2"},
      {"G21\nG1 X1 Y1\n", "without M2", "t"},
      {"", "without M2", "t"},
      {"M2\n", "no stitches", "t"},
      {"X1\nM2\n", "before any G0 or G1", "t: line 1"},
      {"G1 X1 Y1 (open\nM2\n", "not closed", "t: line 1"},
      {"G2 X1 Y1 I1\nM2\n", "no meaning", "t: line 1"},
      {"G1 X1e9\nM2\n", "E9 has no meaning", "t: line 1"},
      {"G1 X99999\nM2\n", "more than 2000 mm", "t: line 1"},
      {"G1 Xnan\nM2\n", "X is not followed", "t: line 1"},
      {"G1 Xinf\nM2\n", "X is not followed", "t: line 1"},
      {"G1 X--1\nM2\n", "X is not followed", "t: line 1"},
      {"G1.5 X1\nM2\n", "not a code", "t: line 1"},
      {"M77\nM2\n", "M77", "t: line 1"},
      {"G4 P1 X1\nM2\n", "G4 stands", "t: line 1"},
      {"\x01\x02\nM2\n", "byte 1", "t: line 1"},
  };
  for (const auto& each : cases) {
    try {
      read_gcode(each.text, "t", setup);
      ADD_FAILURE() << each.text;
    } catch (const base::Error& error) {
      EXPECT_EQ(error.code, base::ErrorCode::bad_stitches);
      EXPECT_NE(error.what.find(each.what), std::string::npos) << error.what;
      EXPECT_EQ(error.where, each.where);
    }
  }
}

// The interpreter's points, in order: feeds are stitches, traverses are moves.
struct Canonical {
  bool is_feed;
  double x, y;
};

std::vector<Canonical> canonical_points(const std::string& path) {
  std::vector<Canonical> points;
  std::ifstream in(path);
  for (std::string line; std::getline(in, line);) {
    double x = 0, y = 0;
    const std::size_t call = line.find("STRAIGHT_");
    if (call == std::string::npos) continue;
    const char* words = line.c_str() + call;
    if (std::sscanf(words, "STRAIGHT_FEED(%lf, %lf", &x, &y) == 2) points.push_back({true, x, y});
    if (std::sscanf(words, "STRAIGHT_TRAVERSE(%lf, %lf", &x, &y) == 2) {
      points.push_back({false, x, y});
    }
  }
  return points;
}

// Independent truth: the RS-274 interpreter of Debian's linuxcnc-uspace 2.9, a separate program
// (scripts/rs274-check). 20,000 stitches, every one of its points against the map.
TEST(Gcode, IndependentInterpreterAgreesOnEveryPoint) {
  namespace fs = std::filesystem;
  const cap::Setup setup = setup_for(MountKind::rotary, 180, TurnedBy::file);
  stitch::Plan plan = sample_plan();
  base::Random random(11);
  stitch::Block& last = plan.blocks.back();
  for (int i = 0; i < 20'000; ++i) {
    const double x = std::round(random.uniform(-60, 60) * 1000) / 1000;
    const double y = std::round(random.uniform(5, 70) * 1000) / 1000;
    const std::ptrdiff_t at = last.first + 8;
    plan.x.insert(plan.x.begin() + at, x);
    plan.y.insert(plan.y.begin() + at, y);
    plan.op.insert(plan.op.begin() + at, stitch::Op::sew);
    ++last.count;
  }
  const std::string stem =
      (fs::temp_directory_path() / ("buckram_rs274_" + std::to_string(::getpid()))).string();
  std::ofstream(stem + ".gcode") << write_gcode(plan, setup, {.walk_box = true});
  const std::string command =
      std::string(BUCKRAM_ROOT) + "/scripts/rs274-check " + stem + ".gcode " + stem + ".txt";
  const int status = WEXITSTATUS(std::system(command.c_str()));
  const auto points = canonical_points(stem + ".txt");
  fs::remove(stem + ".gcode");
  fs::remove(stem + ".txt");
  if (status == 77) GTEST_SKIP() << "the RS-274 interpreter cannot be had here";
  ASSERT_EQ(status, 0);
  const MachineMap map(setup);
  std::size_t k = 7;  // the start, six moves round the box
  for (int i = 0; i < plan.size(); ++i) {
    const stitch::Op op = plan.op[static_cast<std::size_t>(i)];
    if (op != stitch::Op::sew && op != stitch::Op::move) continue;
    ASSERT_LT(k, points.size());
    const Point machine = map.to_machine(plan.at(i));
    EXPECT_EQ(points[k].is_feed, op == stitch::Op::sew);
    ASSERT_NEAR(points[k].x, machine.x, 0.0006);
    ASSERT_NEAR(points[k].y, machine.y, 0.0006);
    ++k;
  }
  ASSERT_EQ(k + 1, points.size());  // and home
  EXPECT_EQ(points.back().x, 0);
  EXPECT_EQ(points.back().y, 0);
}

}  // namespace
}  // namespace buckram::machine
