// What the command line promises to tools that call it.
#include "app/program.h"

#include "machine/machine.h"
#include "stitch/stitch.h"

#include <gtest/gtest.h>

#include <set>

namespace buckram::app {
namespace {

// JSON without blanks.
std::string compact(std::string text) {
  std::erase_if(text, [](char c) { return c == ' ' || c == '\n'; });
  return text;
}

class Contract : public testing::Test {
 protected:
  void SetUp() override { bench.put("mark.svg", kMark); }
  Bench bench;
};

TEST_F(Contract, PlanWritesEveryFile) {
  const Answer answer = bench.run("plan mark.svg --height 20 -o out");
  EXPECT_LE(answer.status, 1) << answer.err;
  for (const char* name : {"plan.json", "verdict.json", "stitches.csv", "chart.svg", "preview.png",
                           "sheet.pdf", "stitches.gcode"}) {
    EXPECT_GT(bench.get(std::string("out/") + name).size(), 200U) << name;
  }
}

TEST_F(Contract, LetteringIsPlannedAndPlannedAgainFromItsOwnPlan) {
  ASSERT_LE(bench
                .run("plan --text 'KELD\\nHARBOUR' --font 'DejaVu Sans:bold' --width 70 "
                     "--set artwork.arc_deg=60 --set artwork.colour=crimson -o out")
                .status,
            1);
  const std::string plan = compact(bench.get("out/plan.json"));
  EXPECT_NE(plan.find("\"text\":\"KELD\\nHARBOUR\""), std::string::npos) << plan.substr(0, 400);
  EXPECT_NE(plan.find("\"arc_deg\":60"), std::string::npos);
  EXPECT_NE(plan.find("\"source\":\"HARBOUR\""), std::string::npos);
  EXPECT_LE(bench.run("check out/plan.json -o again").status, 1);
  EXPECT_EQ(bench.get("again/stitches.csv"), bench.get("out/stitches.csv"));
}

TEST_F(Contract, ExitStatusFollowsTheVerdict) {
  const Answer run = bench.run("plan mark.svg --height 12 --mount flat-hoop --quiet -o a");
  EXPECT_EQ(run.status, 0) << bench.get("a/verdict.json");
  EXPECT_EQ(run.out, "");
  const Answer refuse = bench.run("plan mark.svg --height 300 --json -o b");
  EXPECT_EQ(refuse.status, 1);
  EXPECT_NE(compact(refuse.out).find("\"verdict\":\"refuse\""), std::string::npos);
  EXPECT_NE(compact(refuse.out).find("\"fits\":true"), std::string::npos)
      << "offers what fits instead";
  EXPECT_EQ(refuse.out, bench.get("b/verdict.json"));
  EXPECT_FALSE(fs::exists(bench.folder() / "b/plan.json"));
}

// Again, and bound to one processor: the loops then run on one thread.
TEST_F(Contract, TheSameJobGivesTheSameBytesOnOneThreadAndOnMany) {
  ASSERT_LE(bench.run("plan mark.svg --height 20 -o a").status, 1);
  ASSERT_LE(bench.run("plan mark.svg --height 20 -o b").status, 1);
  ASSERT_LE(bench.run("plan mark.svg --height 20 -o c", "taskset -c 0").status, 1);
  for (const char* name : {"plan.json", "verdict.json", "stitches.csv", "chart.svg", "preview.png",
                           "sheet.pdf", "stitches.gcode"}) {
    const std::string first = bench.get(std::string("a/") + name);
    EXPECT_GT(first.size(), 200U) << name;
    EXPECT_EQ(bench.get(std::string("b/") + name), first) << name;
    EXPECT_EQ(bench.get(std::string("c/") + name), first) << name << ", one thread";
  }
}

// A folder that is moved, or made again elsewhere, holds the same plan.
TEST_F(Contract, APlanMadeInTwoFoldersHasTheSameBytes) {
  for (const char* name : {"one", "two"}) {
    fs::create_directory(bench.folder() / name);
    bench.put(std::string(name) + "/mark.svg", kMark);
    bench.put(std::string(name) + "/job.toml", "[artwork]\nfile='mark.svg'\nheight_mm=20\n");
    const std::string whole = (bench.folder() / name).string();
    ASSERT_LE(bench.run("plan '" + whole + "/job.toml' -o '" + whole + "/out'").status, 1);
  }
  for (const char* name : {"plan.json", "stitches.csv", "stitches.gcode", "sheet.pdf"}) {
    EXPECT_EQ(bench.get(std::string("one/out/") + name), bench.get(std::string("two/out/") + name));
  }
  const std::string plan = bench.get("one/out/plan.json");
  EXPECT_NE(plan.find("\"file\":\"../mark.svg\""), std::string::npos) << plan.substr(0, 300);
  EXPECT_EQ(plan.find(bench.folder().string()), std::string::npos);
}

TEST_F(Contract, ThreadNumbersGoFromTheListToPlanMachineFileAndSheet) {
  bench.put("own.csv", "name,number,rgb,tex\nQuay blue,1147,#24365a,27\nOchre,,#c8973a,27\n");
  ASSERT_LE(bench.run("plan mark.svg --height 20 --set artwork.threads=own.csv -o out").status, 1);
  EXPECT_NE(bench.get("out/plan.json").find("\"number\":\"1147\""), std::string::npos);
  EXPECT_EQ(bench.get("out/plan.json").find("\"number\":\"\""), std::string::npos);
  EXPECT_NE(bench.get("out/stitches.gcode").find("no. 1147, Quay blue)"), std::string::npos);
  const std::string pdf = "pdftotext -layout -f 1 -l 1 out/sheet.pdf - >sheet.txt;";
  bench.run("list", pdf);
  const std::string sheet = bench.get("sheet.txt");
  EXPECT_NE(sheet.find("1147"), std::string::npos) << sheet;
  EXPECT_NE(sheet.find("stitches.gcode"), std::string::npos) << sheet;
}

TEST_F(Contract, TheSheetOfAPlanIsTheOneThatWasPlanned) {
  ASSERT_LE(bench.run("plan mark.svg --height 20 -o out").status, 1);
  ASSERT_EQ(bench.run("sheet out/plan.json -o again.pdf").status, 0);
  EXPECT_EQ(bench.get("again.pdf"), bench.get("out/sheet.pdf"));
}

// Points of 1/72 in: A4 is 210 x 297 mm (ISO 216), Letter 8.5 x 11 in (ANSI/ASME Y14.1).
TEST_F(Contract, PaperIsAsAsked) {
  ASSERT_LE(bench.run("plan mark.svg --height 20 -o out").status, 1);
  for (const auto& [paper, size] :
       {std::pair{"a4", "595.276 x 841.89 pts"}, std::pair{"letter", "612 x 792 pts"}}) {
    const std::string words = std::string("sheet out/plan.json -o s.pdf --paper ") + paper;
    ASSERT_EQ(bench.run(words).status, 0);
    bench.run("list", "pdfinfo s.pdf >info.txt;");
    EXPECT_NE(bench.get("info.txt").find(size), std::string::npos) << bench.get("info.txt");
    EXPECT_NE(bench.get("info.txt").find("Pages:           3"), std::string::npos);
  }
  const Answer wrong = bench.run("sheet out/plan.json -o t.pdf --paper a5");
  EXPECT_EQ(wrong.status, 2);
  EXPECT_FALSE(fs::exists(bench.folder() / "t.pdf"));
}

// A design of some thousand parts, which takes seconds.
std::string many_parts() {
  std::string svg = "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 1000 400'>";
  for (int k = 0; k < 4000; ++k) {
    svg += "<rect x='" + std::to_string(k % 100 * 10) + "' y='" + std::to_string(k / 100 * 10) +
           "' width='7' height='7' fill='" + (k % 2 ? "#24365a" : "#c8973a") + "'/>";
  }
  return svg + "</svg>";
}

// Shells see 128 + the signal's number (POSIX.1-2017, XCU 2.8.2). The plan is stopped a moment
// after it began; timeout(1) passes on how it ended. In the foreground it signals the program once;
// otherwise it signals the whole group too, and a second signal ends the program at once.
TEST_F(Contract, ASignalEndsThePlanAndLeavesNothingHalfWritten) {
  bench.put("many.svg", many_parts());
  ASSERT_LE(bench.run("plan mark.svg --height 20 -o out").status, 1);
  const std::string before = bench.get("out/plan.json");
  for (const auto& [signal, status] : {std::pair{"INT", 130}, std::pair{"TERM", 143}}) {
    SCOPED_TRACE(signal);
    const Answer answer =
        bench.run("plan many.svg --width 110 -o out",
                  std::string("timeout --foreground --preserve-status -s ") + signal + " 0.6");
    EXPECT_EQ(answer.status, status) << answer.err << answer.out;
    EXPECT_NE(answer.err.find("Nothing was written"), std::string::npos) << answer.err;
    EXPECT_EQ(bench.get("out/plan.json"), before);
    std::set<std::string> names;
    for (const auto& each : fs::recursive_directory_iterator(bench.folder())) {
      names.insert(each.path().filename().string());
    }
    EXPECT_EQ(names.size(), 10U) << "mark.svg, many.svg, out and the seven files of the plan";
  }
}

// 40,000 objects of a few stitches, each of another thread than the one before.
stitch::Plan huge_plan(int n_threads) {
  stitch::Plan plan;
  plan.job = "{}";
  plan.placement = {1, 0, 0, -1, 0, 0};
  for (int t = 0; t < n_threads; ++t) {
    plan.threads.push_back({.name = "Thread " + std::to_string(t), .rgb = "#24365a"});
    plan.threads.back().needle = t + 1;
  }
  constexpr int kObjects = 40'000;
  for (int k = 0; k < kObjects; ++k) {
    const double x = -50 + 0.5 * (k % 200), y = 16 + 0.2 * (k / 200);
    const int thread = k % n_threads, first = plan.size();
    plan.objects.push_back({k + 1, stitch::Kind::run, thread, "part-" + std::to_string(k)});
    const auto put = [&](double at_x, double at_y, stitch::Op op) {
      plan.x.push_back(at_x), plan.y.push_back(at_y), plan.op.push_back(op);
    };
    if (k > 0) put(plan.x.back(), plan.y.back(), stitch::Op::change);
    put(x, y, stitch::Op::move), put(x, y, stitch::Op::sew), put(x + 0.4, y, stitch::Op::sew);
    if (k + 1 == kObjects) put(x + 0.4, y, stitch::Op::end);
    plan.blocks.push_back({k + 1, stitch::Layer::top, thread, first, plan.size() - first});
  }
  return plan;
}

// The limit of CPU seconds only keeps a sheet that would never end from holding the tests up.
TEST_F(Contract, TheSheetOfAHugePlanEndsAndSaysWhatItLeftOut) {
  bench.put("huge.json", stitch::write_plan(huge_plan(60)));
  const Answer answer = bench.run("sheet huge.json -o huge.pdf", "ulimit -t 120;");
  ASSERT_EQ(answer.status, 0) << answer.err;
  bench.run("list", "pdftotext huge.pdf - | tr '\\n' ' ' >huge.txt;");
  EXPECT_NE(bench.get("huge.txt").find("and 39,960 more visits"), std::string::npos)
      << bench.get("huge.txt");
}

// Of a plan for one mount, read for another: as if it had been planned there.
TEST_F(Contract, AnotherMountForAPlanBringsItsOwnBench) {
  const std::string mark = "plan mark.svg --height 12 --at 0,30 --quiet ";
  ASSERT_LE(bench.run(mark + "--mount rotary-raised -o raised").status, 1);
  ASSERT_LE(bench.run(mark + "--mount rotary -o plain").status, 1);
  ASSERT_LE(bench.run(mark + "--mount flat-hoop -o flat").status, 1);
  ASSERT_LE(bench.run("check raised/plan.json --mount rotary -o checked").status, 1);
  EXPECT_EQ(bench.get("checked/stitches.csv"), bench.get("plain/stitches.csv"));
  EXPECT_NE(bench.get("raised/stitches.csv"), bench.get("plain/stitches.csv"));
  ASSERT_EQ(bench.run("convert plain/plan.json --mount flat-hoop --to gcode -o flat.gcode").status,
            0);
  const std::string turned = bench.get("plain/stitches.gcode");
  const std::string flat = bench.get("flat/stitches.gcode");
  EXPECT_EQ(bench.get("flat.gcode"), flat);
  EXPECT_NE(turned, flat);
}

// Nobody may find an earlier plan's files under a refusal and sew them.
TEST_F(Contract, ARefusalLeavesNoEarlierPlan) {
  ASSERT_LE(bench.run("plan mark.svg --height 20 -o out").status, 1);
  bench.put("out/notes.txt", "the shop's own");
  ASSERT_EQ(bench.run("plan mark.svg --height 300 -o out").status, 1);
  std::set<std::string> names;
  for (const auto& each : fs::directory_iterator(bench.folder() / "out")) {
    names.insert(each.path().filename().string());
  }
  EXPECT_EQ(names, (std::set<std::string>{"notes.txt", "verdict.json"}));
}

// A machine file in a layout that this plan does not write is of another plan.
TEST_F(Contract, AMachineFileOfAnEarlierPlanIsGone) {
  const auto others = [&] {
    std::set<std::string> names;
    for (const auto& each : fs::directory_iterator(bench.folder() / "out")) {
      const std::string name = each.path().filename().string();
      if (name.starts_with("stitches.") && name != "stitches.csv" && name != "stitches.gcode")
        names.insert(name);
    }
    return names;
  };
  const std::string mark = "plan mark.svg --height 20 -o out";
  ASSERT_LE(bench.run(mark + " --layout lantern-row").status, 1);
  bench.put("out/stitches.notes.txt", "the shop's own");
  ASSERT_EQ(others().size(), 2U);
  ASSERT_LE(bench.run(mark).status, 1);
  EXPECT_EQ(others(), std::set<std::string>{"stitches.notes.txt"});
  ASSERT_LE(bench.run(mark + " --layout lantern-row").status, 1);
  ASSERT_EQ(bench.run("plan mark.svg --height 300 -o out").status, 1);
  EXPECT_EQ(others(), std::set<std::string>{"stitches.notes.txt"});
}

TEST_F(Contract, AWrongValueIsToldByTheOptionThatWasTyped) {
  const Answer answer = bench.run("plan mark.svg --height 450 -o out");
  EXPECT_EQ(answer.status, 2);
  EXPECT_NE(answer.err.find("--height"), std::string::npos) << answer.err;
  EXPECT_EQ(answer.err.find("(line"), std::string::npos) << answer.err;
}

// What the terminal says of a refusal fits what was written.
TEST_F(Contract, ARefusalSaysWhatItWrote) {
  const Answer placed = bench.run("plan mark.svg --height 300 -o out");
  EXPECT_EQ(placed.status, 1);
  EXPECT_NE(placed.out.find("REFUSE"), std::string::npos) << placed.out;
  EXPECT_NE(placed.out.find("instead on"), std::string::npos) << placed.out;
  EXPECT_NE(placed.out.find("no stitches were planned"), std::string::npos) << placed.out;
  const Answer risky =
      bench.run("plan mark.svg --height 40 --set limit.breaks_per_100=0.000001 -o risky");
  EXPECT_EQ(risky.status, 1);
  EXPECT_NE(risky.out.find("do not sew it as it is"), std::string::npos) << risky.out;
  EXPECT_NE(risky.out.find("The best the bench can do leaves"), std::string::npos) << risky.out;
  bench.run("list", "pdftotext -layout -f 1 -l 1 risky/sheet.pdf - >risky.txt;");
  EXPECT_NE(bench.get("risky.txt").find("Do not start this order"), std::string::npos);
}

TEST_F(Contract, AnErrorLeavesTheEarlierPlan) {
  ASSERT_LE(bench.run("plan mark.svg --height 20 -o out").status, 1);
  const std::string before = bench.get("out/plan.json");
  ASSERT_EQ(bench.run("plan mark.svg --height tall -o out").status, 2);
  EXPECT_EQ(bench.get("out/plan.json"), before);
}

TEST_F(Contract, NamesMayHoldQuotesAndBackslashes) {
  const std::string cap =
      base::read_file(BUCKRAM_ROOT "/data/caps/six-panel-soft-low.toml", 1 << 20);
  for (const char* name :
       {"o'neill.toml", "the \"big\" one.toml", "a\\b.toml", "two\nlines.toml"}) {
    SCOPED_TRACE(name);
    bench.put(name, cap);
    std::string word;
    for (const char c : std::string(name))
      word += c == '\'' ? std::string("'\\''") : std::string(1, c);
    const Answer answer = bench.run("plan mark.svg --height 20 --cap './" + word + "' -o out");
    EXPECT_LE(answer.status, 1) << answer.err;
    EXPECT_LE(bench.run("check out/plan.json --speed 500 -o checked").status, 1);
  }
}

TEST_F(Contract, WalkGoesRoundTheBoxBeforeSewing) {
  ASSERT_LE(bench.run("plan mark.svg --height 20 --walk -o out").status, 1);
  const std::string walked = bench.get("out/stitches.gcode");
  EXPECT_NE(walked.find("(walk round the design)"), std::string::npos);
  ASSERT_EQ(bench.run("convert out/plan.json --walk -o again.gcode").status, 0);
  EXPECT_EQ(bench.get("again.gcode"), walked);
  ASSERT_EQ(bench.run("convert out/plan.json -o plain.gcode").status, 0);
  EXPECT_EQ(bench.get("plain.gcode").find("walk"), std::string::npos);
  EXPECT_EQ(bench.run("convert out/plan.json --walk -o plain.csv").status, 2);
}

TEST_F(Contract, UnknownFieldsOfAPlansJobAreKept) {
  ASSERT_LE(bench.run("plan mark.svg --height 20 -o out").status, 1);
  std::string plan = bench.get("out/plan.json");
  const std::string key = "\"job\":{";
  plan.insert(plan.find(key) + key.size(), "\"laser\":{\"on\":true},");
  bench.put("plan.json", plan);
  ASSERT_EQ(bench.run("convert plan.json -o again.json").status, 0);
  EXPECT_EQ(bench.get("again.json"), plan);
  EXPECT_LE(bench.run("check plan.json -o checked").status, 1);
}

TEST_F(Contract, APlanReadBackGivesTheSameBytesAgain) {
  bench.run("plan mark.svg --height 20 -o out");
  ASSERT_EQ(bench.run("convert out/plan.json -o again.json").status, 0);
  EXPECT_EQ(bench.get("again.json"), bench.get("out/plan.json"));
  ASSERT_EQ(bench.run("convert out/plan.json -o again.gcode").status, 0);
  EXPECT_EQ(bench.get("again.gcode"), bench.get("out/stitches.gcode"));
}

TEST_F(Contract, CheckOfAPlanGivesItsOwnForecast) {
  bench.run("plan mark.svg --height 20 -o out");
  EXPECT_LE(bench.run("check out/plan.json -o checked").status, 1);
  EXPECT_EQ(bench.get("checked/stitches.csv"), bench.get("out/stitches.csv"));
}

TEST_F(Contract, StitchesCsvHasItsHeader) {
  bench.run("plan mark.svg --height 20 -o out");
  EXPECT_EQ(bench.get("out/stitches.csv").substr(0, 47),
            "index,x_mm,y_mm,op,thread,object,layer,hazard\n0");
}

TEST_F(Contract, HeightMeasuresThePaintedBoxAndAtItsMiddle) {
  bench.run("plan mark.svg --height 20 --at 3,40 --set stitch.compensation_mm=0 -o out");
  const stitch::Plan plan = stitch::read_plan(bench.get("out/plan.json"), "plan.json");
  const geometry::Box box = stitch::count(plan).box;
  // Thread lies 0.4 mm wide: its middle ends half of that inside.
  EXPECT_NEAR(box.height() + 0.4, 20, 0.3);
  EXPECT_NEAR(box.middle().x, 3, 0.3);
  EXPECT_NEAR(box.middle().y, 40, 0.3);
}

TEST_F(Contract, SettingsGoOverTheJobFile) {
  bench.put("job.toml", "[artwork]\nfile='mark.svg'\nheight_mm=30\n[bench]\nspeed_spm=900\n");
  bench.run("plan job.toml --height 20 --set bench.speed_spm=500 -o out");
  const std::string plan = bench.get("out/plan.json");
  EXPECT_NE(plan.find("\"height_mm\":20.0"), std::string::npos);
  EXPECT_NE(plan.find("\"speed_spm\":500.0"), std::string::npos);
}

TEST_F(Contract, EveryVerbShowsAnExample) {
  for (const char* verb : {"plan", "check", "convert", "sheet", "layout", "list", "dump"}) {
    const Answer help = bench.run(std::string(verb) + " --help");
    EXPECT_EQ(help.status, 0) << verb;
    EXPECT_NE(help.out.find(std::string("Example: buckram ") + verb), std::string::npos)
        << help.out;
    const Answer by_script =
        bench.run(std::string(verb) + " --help", R"(bash -c 'exec -a ./run "$0" "$@"')");
    EXPECT_NE(by_script.out.find(std::string("Example: ./run ") + verb), std::string::npos)
        << by_script.out;
  }
}

TEST_F(Contract, MistypedVerbsAndOptionsAreAskedAbout) {
  EXPECT_NE(bench.run("pln mark.svg -o out").err.find("Did you mean plan?"), std::string::npos);
  const Answer answer = bench.run("plan mark.svg --hieght 20 -o out");
  EXPECT_EQ(answer.status, 2);
  EXPECT_NE(answer.err.find("--hieght is not an option of plan. Did you mean --height?"),
            std::string::npos)
      << answer.err;
  EXPECT_NE(bench.run("").err.find("Start with: buckram plan"), std::string::npos);
}

TEST_F(Contract, GcodeMadeForAnotherMountIsRemarkedOn) {
  bench.run("plan mark.svg --height 20 --mount flat-cap-hoop -o out");
  const std::string right =
      bench.run("convert out/stitches.gcode --mount flat-cap-hoop -o right.csv").out;
  EXPECT_EQ(right.find("note"), std::string::npos) << right;
  const std::string wrong = bench.run("convert out/stitches.gcode -o wrong.csv").out;
  EXPECT_NE(wrong.find("made for cap six-panel-structured-mid, mount flat-cap-hoop"),
            std::string::npos)
      << wrong;
}

TEST_F(Contract, ListsNameWhatIsShipped) {
  for (const char* name :
       {"six-panel-structured-mid", "six-panel-structured-low", "six-panel-structured-high",
        "six-panel-soft-low", "five-panel-structured-mid", "five-panel-foam-backed"}) {
    EXPECT_NE(bench.run("list caps").out.find(name), std::string::npos) << name;
  }
  for (const char* name :
       {"rotary", "rotary-raised", "flat-cap-hoop", "panel-clamp", "loose-panels", "flat-hoop"}) {
    EXPECT_NE(bench.run("list mounts").out.find(name), std::string::npos) << name;
  }
  const std::string threads = bench.run("list threads").out;
  EXPECT_EQ(std::count(threads.begin(), threads.end(), '\n'), 61);
  for (const char* name : {"65:sharp", "70:sharp", "75:sharp", "80:sharp", "90:sharp", "100:sharp",
                           "65:ball", "100:ball"}) {
    EXPECT_NE(bench.run("list needles").out.find(name), std::string::npos) << name;
  }
  EXPECT_GE(std::count_if(threads.begin(), threads.end(), [](char c) { return c == '#'; }), 60);
}

TEST_F(Contract, ListAloneSaysWhatCanBeListed) {
  const Answer answer = bench.run("list");
  EXPECT_EQ(answer.status, 0) << answer.err;
  for (const char* what : {"caps", "mounts", "fabrics", "needles", "threads"}) {
    EXPECT_NE(answer.out.find(std::string("buckram list ") + what), std::string::npos);
  }
}

TEST_F(Contract, CheckOfAStitchListSaysWhatItAssumes) {
  ASSERT_LE(bench.run("plan mark.svg --height 20 -o out").status, 1);
  const Answer assumed = bench.run("check out/stitches.csv -o a");
  EXPECT_NE(assumed.out.find("cap and bench assumed: "), std::string::npos) << assumed.out;
  EXPECT_NE(compact(bench.get("a/verdict.json")).find("\"kind\":\"assumed\""), std::string::npos);
  bench.run("check out/stitches.csv --cap six-panel-structured-mid --mount rotary -o b");
  EXPECT_EQ(bench.get("b/verdict.json").find("assumed"), std::string::npos);
}

TEST_F(Contract, AnOfferIsInWidthWhereWidthWasAsked) {
  const Answer answer = bench.run("plan mark.svg --width 300 -o out");
  EXPECT_EQ(answer.status, 1) << answer.err;
  EXPECT_NE(answer.out.find(" mm wide, its lower edge"), std::string::npos) << answer.out;
}

TEST_F(Contract, DumpDrawsEveryStage) {
  for (const char* stage : {"drawing", "regions", "spine", "objects", "order", "gap"}) {
    const Answer answer = bench.run(std::string("dump ") + stage + " mark.svg --height 20 --svg");
    EXPECT_EQ(answer.status, 0) << answer.err;
    EXPECT_EQ(answer.out.rfind("<svg", 0), 0U) << stage;
    EXPECT_NE(answer.out.find("<path"), std::string::npos) << stage;
  }
}

// Each way up: the cap drawn from the machine file read back is the cap that was planned.
TEST_F(Contract, EveryWayUpIsReadBackUpright) {
  for (const char* turn : {"--set bench.turn_deg=0", "--set bench.turn_deg=180",
                           "--set bench.turn_deg=180 --set bench.turned_by=controller"}) {
    SCOPED_TRACE(turn);
    bench.run(std::string("plan mark.svg --height 20 -o out ") + turn);
    const std::string mount = "--cap six-panel-structured-mid --mount rotary ";
    ASSERT_EQ(bench.run("convert out/stitches.gcode " + mount + turn + " -o back.csv").status, 0);
    const stitch::Plan plan = stitch::read_plan(bench.get("out/plan.json"), "plan.json");
    const stitch::Plan back = machine::read_csv(bench.get("back.csv"), "back.csv");
    const geometry::Box a = stitch::count(plan).box, b = stitch::count(back).box;
    EXPECT_NEAR(a.x0, b.x0, 0.01);
    EXPECT_NEAR(a.y0, b.y0, 0.01);
    EXPECT_NEAR(a.x1, b.x1, 0.01);
    EXPECT_NEAR(a.y1, b.y1, 0.01);
  }
}

// What is too fine to sew is said to be so; no other cap would help.
TEST_F(Contract, TooFineIsNotOfferedElsewhere) {
  bench.put("hair.svg",
            "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 100 60'>"
            "<rect width='.3' height='.3'/><rect x='99' y='59' width='.3' height='.3'/></svg>");
  const Answer answer = bench.run("plan hair.svg --height 20 --json -o out");
  EXPECT_EQ(answer.status, 1) << answer.err;
  EXPECT_NE(compact(answer.out).find("\"verdict\":\"refuse\""), std::string::npos);
  EXPECT_NE(compact(answer.out).find("\"offers\":[]"), std::string::npos);
}

// Packing that another mount would not take must not turn a refusal into an error.
TEST_F(Contract, PackingDoesNotStopOffers) {
  const Answer answer =
      bench.run("plan mark.svg --height 300 --set bench.packing_mm=2 --json -o out");
  EXPECT_EQ(answer.status, 1) << answer.err;
  EXPECT_NE(compact(answer.out).find("\"fits\":true"), std::string::npos);
}

TEST_F(Contract, DumpOfWhatCannotBePlacedSaysWhy) {
  const Answer answer = bench.run("dump objects mark.svg --height 300 --svg");
  EXPECT_EQ(answer.status, 2);
  EXPECT_EQ(answer.out, "");
}

}  // namespace
}  // namespace buckram::app
