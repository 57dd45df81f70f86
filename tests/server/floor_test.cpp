#include "server/break_log.h"
#include "server/floor.h"

#include <gtest/gtest.h>

namespace buckram::server {
namespace {

using stitch::Op;

// Two chains of stitches 2 mm long with a trim and a move between them.
stitch::Plan plan() {
  stitch::Plan plan;
  const auto add = [&](double x, Op op) {
    plan.x.push_back(x), plan.y.push_back(20), plan.op.push_back(op);
  };
  for (int i = 0; i < 20; ++i) add(2 * i, Op::sew);       // entries 0 to 19
  add(38, Op::trim);                                      // 20
  add(50, Op::move);                                      // 21
  for (int i = 0; i < 20; ++i) add(50 + 2 * i, Op::sew);  // 22 to 41
  add(88, Op::end);                                       // 42
  plan.threads = {{"Brass", "#c8973a"}};
  plan.objects = {{1, stitch::Kind::run, 0}, {7, stitch::Kind::run, 0}};
  plan.blocks = {{1, stitch::Layer::top, 0, 0, 20}, {7, stitch::Layer::top, 0, 20, 23}};
  stitch::check_form(plan);
  return plan;
}

TEST(Break, GoesBackSixStitchesOrTwelveMillimetres) {
  const BreakPlace place = place_of_break(plan(), 35);
  EXPECT_EQ(place.stitch, 34);  // 20 before the trim, then 14
  EXPECT_EQ(place.block, 2);
  EXPECT_EQ(place.object, 7);
  EXPECT_EQ(35 - place.go_back_to, 6);  // 12 mm are six stitches of 2 mm
  stitch::Plan fine = plan();
  for (double& x : fine.x) x /= 4;  // stitches of 0.5 mm
  EXPECT_EQ(place_of_break(fine, 41).go_back_to, 22) << "12 mm would be past the thread's start";
  stitch::Plan coarse = plan();
  for (double& x : coarse.x) x *= 2;
  EXPECT_EQ(35 - place_of_break(coarse, 35).go_back_to, 6);
}

TEST(Break, NeverGoesBackPastWhereTheThreadBegins) {
  EXPECT_EQ(place_of_break(plan(), 23).go_back_to, 22);
  EXPECT_EQ(place_of_break(plan(), 22).go_back_to, 22);
  EXPECT_EQ(place_of_break(plan(), 0).go_back_to, 0);
}

TEST(Break, BetweenStitchesTheOneBeforeIsMeant) {
  EXPECT_EQ(place_of_break(plan(), 21).entry, 19);
  EXPECT_EQ(place_of_break(plan(), 42).entry, 41);
  EXPECT_THROW(place_of_break(plan(), 43), base::Error);
  EXPECT_THROW(place_of_break(plan(), -1), base::Error);
}

TEST(Break, AThreadLeavesNoPiecesToFind) {
  const BreakPlace needle = place_of_break(plan(), 35),
                   thread = place_of_break(plan(), 35, Broke::thread);
  EXPECT_EQ(needle.go_back_to, thread.go_back_to);
  EXPECT_NE(needle.words.find("every piece"), std::string::npos);
  EXPECT_EQ(thread.words.find("every piece"), std::string::npos);
  EXPECT_NE(thread.words.find("power off"), std::string::npos);
}

BreakReport report(const std::string& note, Broke broke = Broke::needle) {
  BreakReport made;
  made.entry = 35, made.needle = 1, made.cap = 2, made.note = note, made.broke = broke;
  return made;
}

TEST(BreakLog, SaysWhatBroke) {
  const BreakPlace place = place_of_break(plan(), 35);
  EXPECT_NE(break_line("a", "t", 1, report(""), place).find(R"("broke":"needle")"),
            std::string::npos);
  EXPECT_NE(break_line("a", "t", 1, report("", Broke::thread), place).find(R"("broke":"thread")"),
            std::string::npos);
}

TEST(BreakLog, ALineThatIsCutShortHidesNoOther) {
  const BreakPlace place = place_of_break(plan(), 35);
  const std::string log = break_line("a", "t", 1, report("\"x\"\n"), place) + "\n{\"eve\n" +
                          break_line("b", "t", 1, report(""), place) + "\n" +
                          taken_back_line("a", "t") + "\n";
  EXPECT_FALSE(stands(log, "a"));
  EXPECT_TRUE(knows(log, "a")) << "taken back, but told";
  EXPECT_FALSE(knows(log, "c"));
  EXPECT_TRUE(stands(log, "b"));
  EXPECT_FALSE(stands(log, "c"));
  EXPECT_EQ(standing_json(log).find("\"event\":\"b\""), 2U);
  EXPECT_EQ(standing_json(""), "[]");
}

}  // namespace
}  // namespace buckram::server
