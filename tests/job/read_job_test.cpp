#include "job/job.h"
#include "job/keys.h"

#include <gtest/gtest.h>

#include <functional>

namespace buckram::job {
namespace {

base::Error refused(const std::function<void()>& read) {
  try {
    read();
  } catch (const base::Error& error) {
    return error;
  }
  ADD_FAILURE() << "was accepted";
  return {};
}

Job from(const std::string& toml, const std::vector<std::string>& sets = {}) {
  return read_job(toml, "job.toml", "jobs", sets);
}

TEST(ReadJob, LetteringIsReadAndWrittenBack) {
  const Job job = from(R"(
[artwork]
text = "Keld\nHarbour"
font = "faces/quay.otf"
colour = "navy"
arc_deg = -90
letter_spacing_em = 0.1
)");
  EXPECT_EQ(job.lettering.text, "Keld\nHarbour");
  EXPECT_EQ(job.lettering.font, "jobs/faces/quay.otf");
  EXPECT_EQ(artwork::hex(job.lettering.colour), "#000080");
  EXPECT_EQ(job.lettering.arc_deg, -90);
  EXPECT_EQ(job.lettering.letter_spacing_em, 0.1);
  const Job again = read_plan_job(to_json(job), {});
  EXPECT_EQ(again.lettering.text, job.lettering.text);
  EXPECT_EQ(again.lettering.colour, job.lettering.colour);
  EXPECT_EQ(again.lettering.arc_deg, job.lettering.arc_deg);
  const auto where = [](const std::string& keys) {
    return refused([&] { from("[artwork]\n" + keys); }).where;
  };
  EXPECT_NE(where("file = \"a.svg\"\ntext = \"K\"").find("text"), std::string::npos);
  EXPECT_NE(where("text = \"K\"\ncolour = \"reddish\"").find("colour"), std::string::npos);
  EXPECT_NE(where("text = \"K\"\narc_deg = 400").find("arc_deg"), std::string::npos);
}

// What a plan carries of its mount and cap is theirs alone.
TEST(ReadJob, AnotherMountOrCapLeavesTheOldOnesBenchBehind) {
  const Job planned = read_plan_job(R"({"cap": {"name": "six-panel-structured-mid", "seam": true},
    "bench": {"mount": "rotary-raised", "raise_mm": 2, "packing_mm": 0.5, "tautness": 0.8,
              "foot_mm": 3, "turn_deg": 180, "turned_by": "file", "clips": true, "pressed": true,
              "backing": ["tear-away"], "speed_spm": 700},
    "gap": [{"x_mm": 0, "y_mm": 18, "gap_mm": 2.5}]})",
                                    {});
  const Job same = with_settings(planned, "", {"bench.mount=rotary-raised"});
  EXPECT_EQ(same.raise_mm, 2);
  EXPECT_EQ(same.turn_deg, 180);
  EXPECT_EQ(same.gap.size(), 1U);
  const Job other = with_settings(planned, "", {"bench.tautness=0.5", "bench.mount=flat-hoop"});
  EXPECT_FALSE(other.raise_mm || other.packing_mm || other.foot_mm || other.turn_deg);
  EXPECT_FALSE(other.turned_by.has_value());
  EXPECT_TRUE(other.gap.empty());
  EXPECT_EQ(other.tautness, 0.5) << "asked for with the mount";
  EXPECT_EQ(other.has_clips, true);
  EXPECT_EQ(other.is_pressed, true);
  EXPECT_EQ(other.speed_spm, 700);
  EXPECT_EQ(other.has_seam, true);
  const Job soft = with_settings(planned, "", {"cap.name=six-panel-soft-low"});
  EXPECT_FALSE(soft.has_seam || soft.backing);
  EXPECT_TRUE(soft.gap.empty());
  EXPECT_EQ(soft.raise_mm, 2);
}

// A bench changed under measured gaps leaves them those of the bench before; new ones are of the
// bench that they come with.
TEST(ReadJob, GapsStayOfTheBenchTheyWereMeasuredOn) {
  const std::string gap = "gap=[{x_mm=0,y_mm=18,gap_mm=2.5}]";
  const Job measured = from("", {"bench.raise_mm=1", "bench.clips=true", gap});
  EXPECT_FALSE(measured.gap_bench.has_value());
  const Job raised = with_settings(measured, "", {"bench.raise_mm=3"});
  ASSERT_TRUE(raised.gap_bench.has_value());
  EXPECT_EQ(raised.gap_bench->raise_mm, 1);
  EXPECT_EQ(raised.gap_bench->has_clips, true);
  EXPECT_FALSE(raised.gap_bench->packing_mm.has_value());
  const Job again = read_plan_job(to_json(raised), {"bench.raise_mm=2"});
  EXPECT_EQ(again.gap_bench->raise_mm, 1);
  EXPECT_EQ(with_settings(from("", {gap}), "", {gap_bench_setting(raised)}).gap_bench->raise_mm, 1);
  EXPECT_FALSE(with_settings(raised, "", {gap}).gap_bench.has_value());
  EXPECT_EQ(refused([&] { from("[gap_bench]\nraise_mm = 90\n"); }).code, base::ErrorCode::bad_job);
}

TEST(ReadJob, EveryKeyOfTheContractIsRead) {
  const Job job = from(R"(
seed = 7
[artwork]
file = "art.svg"
title = "Crest"
height_mm = 45
width_mm = 60
at_mm = [1, 38.5]
threads = "shop.csv"
[cap]
name = "six-panel-soft-low"
crown_stiffness = 1.5
seam = false
[bench]
mount = "rotary-raised"
raise_mm = 2
packing_mm = 0.5
clips = true
pressed = true
tautness = 0.4
foot_mm = 2.7
needle = "75:ball"
speed_spm = 900
backing = ["tear-away", "tear-away"]
heads = 6
needles = 12
turn_deg = 0
turned_by = "controller"
[[gap]]
x_mm = 0
y_mm = 18
gap_mm = 2.5
sd_mm = 0.3
[stitch]
style = "flat"
order = "inward"
row_spacing_mm = 0.45
column_spacing_mm = 0.42
compensation_mm = 0.1
follow_shape = ["banner"]
[object.7]
sewn_as = "fill"
angle_deg = 45
row_spacing_mm = 0.45
under = "edge"
[object."path[3]"]
column_spacing_mm = 0.5
stitch_mm = 3
[order]
caps = 48
customer = "Keld Harbour Rowing"
[limit]
breaks_per_100 = 1.5
locked = ["bench.clips"]
)");
  EXPECT_EQ(job.artwork_file, "jobs/art.svg");
  EXPECT_EQ(job.threads_file, "jobs/shop.csv");
  EXPECT_EQ(job.follow_shape, std::vector<std::string>{"banner"});
  ASSERT_EQ(job.objects.size(), 2U);
  EXPECT_EQ(job.objects[0].of, "7");
  EXPECT_EQ(job.objects[0].sewn_as, stitch::Kind::fill);
  EXPECT_EQ(job.objects[0].angle_deg, 45);
  EXPECT_EQ(job.objects[0].row_mm, 0.45);
  EXPECT_EQ(job.objects[0].under, digitise::UnderKind::edge);
  EXPECT_EQ(job.objects[1].of, "path[3]");
  EXPECT_EQ(job.objects[1].column_mm, 0.5);
  EXPECT_EQ(job.objects[1].stitch_mm, 3);
  EXPECT_EQ(job.height_mm, 45);
  EXPECT_EQ(job.width_mm, 60);
  EXPECT_EQ(job.at_mm, (geometry::Point{1, 38.5}));
  EXPECT_EQ(job.cap, "six-panel-soft-low");
  EXPECT_EQ(job.crown_stiffness, 1.5);
  EXPECT_EQ(job.has_seam, false);
  EXPECT_EQ(job.mount, "rotary-raised");
  EXPECT_EQ(job.raise_mm, 2);
  EXPECT_EQ(job.has_clips, true);
  EXPECT_EQ(job.turn_deg, 0);
  EXPECT_EQ(job.turned_by, cap::TurnedBy::controller);
  EXPECT_EQ(job.backing->size(), 2U);
  ASSERT_EQ(job.gap.size(), 1U);
  EXPECT_EQ(job.gap[0].sd_mm, 0.3);
  EXPECT_EQ(job.style, digitise::Style::flat);
  EXPECT_EQ(job.order, sequence::Mode::inward);
  EXPECT_EQ(job.caps, 48);
  EXPECT_EQ(job.breaks_per_100, 1.5);
  EXPECT_EQ(job.seed, 7U);
}

TEST(ReadJob, SettingsGoOverTheFileInOrder) {
  const Job job = from("[bench]\nraise_mm = 1\n",
                       {"bench.raise_mm=2", "bench.needle=75:sharp", "artwork.file=here.svg",
                        "bench.raise_mm=3", "gap=[{x_mm=0,y_mm=18,gap_mm=2.5}]"});
  EXPECT_EQ(job.raise_mm, 3);
  EXPECT_EQ(job.needle, "75:sharp");
  EXPECT_EQ(job.artwork_file, "here.svg");  // from the working folder, not the job's
  EXPECT_EQ(job.gap.size(), 1U);
}

TEST(ReadJob, UnknownKeysAreRefusedWithTheNearest) {
  EXPECT_EQ(refused([] { from("[bench]\nrise_mm = 2\n"); }).hint, "Did you mean raise_mm?");
  EXPECT_EQ(refused([] { from("", {"bench.rise_mm=2"}); }).hint, "Did you mean raise_mm?");
  EXPECT_EQ(refused([] { from("[benhc]\nraise_mm = 2\n"); }).hint, "Did you mean bench?");
}

TEST(ReadJob, BadValuesNameKeyValueAndRange) {
  const base::Error tall = refused([] { from("", {"artwork.height_mm=5000000"}); });
  EXPECT_EQ(tall.code, base::ErrorCode::bad_job);
  EXPECT_NE(tall.where.find("height_mm"), std::string::npos);
  EXPECT_EQ(tall.what, "is 5e+06, outside 1 to 400");
  EXPECT_EQ(refused([] { from("", {"artwork.height_mm=tall"}); }).what,
            "wants a number, found \"tall\"");
  EXPECT_EQ(refused([] { from("", {"stitch.style=fancy"}); }).hint, "Choose one of: cap, flat");
  EXPECT_EQ(refused([] { from("", {"bench.turn_deg=90"}); }).hint, "Choose 0 or 180");
  EXPECT_EQ(refused([] { from("", {"artwork.at_mm=[1]"}); }).hint, "Write it as [x, y]");
  EXPECT_EQ(refused([] { from("", {"nonsense"}); }).where, "--set");
}

TEST(ReadJob, ObjectsTakeTheirKeysAndNoOthers) {
  const Job job = from("[object.7]\nangle_deg = 45\n",
                       {"object.7.stitch_mm=5", "object.hull.under=none", "object.7.angle_deg=90"});
  ASSERT_EQ(job.objects.size(), 2U);
  EXPECT_EQ(job.objects[0].angle_deg, 90);
  EXPECT_EQ(job.objects[0].stitch_mm, 5);
  EXPECT_EQ(job.objects[1].under, digitise::UnderKind::none);

  EXPECT_EQ(refused([] { from("", {"object.7.angel_deg=45"}); }).hint, "Did you mean angle_deg?");
  const base::Error kind = refused([] { from("", {"object.7.sewn_as=satin"}); });
  EXPECT_EQ(kind.hint, "Choose one of: column, fill, run");
  EXPECT_NE(kind.where.find("object: 7"), std::string::npos) << kind.where;
  EXPECT_EQ(refused([] { from("", {"object.7.angle_deg=200"}); }).what, "is 200, outside 0 to 180");
  EXPECT_EQ(refused([] { from("", {"object.7=3"}); }).code, base::ErrorCode::bad_job);
  EXPECT_EQ(refused([] { from("object = 3\n"); }).code, base::ErrorCode::bad_job);
  EXPECT_EQ(refused([] { from("[object.7]\n"); }).what, "sets nothing");
}

// Law of keys.h: reading what was written gives the job back.
TEST(Keys, AJobWrittenIsReadBack) {
  const Job job = from(
      "", {"artwork.file=a\"b\\c.svg", "artwork.height_mm=45.125", "artwork.at_mm=[0.1,38.5]",
           "bench.clips=true", "bench.turn_deg=0", "gap=[{x_mm=0,y_mm=18,gap_mm=2.5,sd_mm=0.4}]",
           "limit.locked=['bench.clips', 12]", "object.7.angle_deg=45", "object.7.sewn_as=fill",
           "object.a b.under=centre", "object.a b.row_spacing_mm=0.5",
           "object.a b.column_spacing_mm=0.5", "object.a b.stitch_mm=3",
           "bench.backing=['tear-away']", "stitch.order=across", "seed=12"});
  const std::string json = to_json(job);
  EXPECT_EQ(to_json(read_plan_job(json, {})), json);
  EXPECT_EQ(read_plan_job(json, {"bench.clips=false"}).has_clips, false);
}

// A plan of a newer version may say more; this one reads what it knows.
TEST(Keys, APlansJobMayHoldKeysOfOtherVersions) {
  const std::string json =
      R"({"bench":{"clips":true,"laser":{"on":true,"w":null},"list":[1,null,"x"]},)"
      R"("future":18446744073709551615,"none":null,"seed":3})";
  EXPECT_EQ(read_plan_job(json, {}).has_clips, true);
  const Job job = read_plan_job(json, {"bench.pressed=true"});
  EXPECT_EQ(job.seed, 3U);
  EXPECT_EQ(job.is_pressed, true);
  EXPECT_EQ(refused([&] { read_plan_job(json, {"bench.presed=true"}); }).hint,
            "Did you mean pressed?");
}

TEST(ReadJob, LockedTakesChangesAndObjects) {
  const Job job = from("limit.locked = ['bench.raise_mm', 'bench.needle=80:ball', 12, '7']\n");
  EXPECT_EQ(job.locked,
            (std::vector<std::string>{"bench.raise_mm", "bench.needle=80:ball", "12", "7"}));
  EXPECT_EQ(refused([] { from("limit.locked = ['bench.rise_mm']\n"); }).hint,
            "Did you mean bench.raise_mm?");
  EXPECT_EQ(from("limit.locked = ['object.7.angle_deg', 'object.hull.under=none']\n").locked.size(),
            2U);
  refused([] { from("limit.locked = ['object.7.colour']\n"); });
  for (const char* bad : {"0", "-1", "10000001", "1.5", "''", "99999999999999999999"}) {
    EXPECT_FALSE(refused([&] { from(std::string("limit.locked = [") + bad + "]\n"); }).hint.empty())
        << bad;
  }
}

TEST(Keys, APlansJobThatIsNoTableIsRefused) {
  for (const char* text : {"[]", "3", "\"x\"", "{", "{\"artwork\":{\"file\":3}}"}) {
    EXPECT_FALSE(refused([&] { read_plan_job(text, {}); }).what.empty()) << text;
  }
}

}  // namespace
}  // namespace buckram::job
