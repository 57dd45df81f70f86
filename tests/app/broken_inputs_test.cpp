// A table of broken inputs: each must be refused with exit status 2, a message that says what,
// where and what to do, and nothing written.
#include "app/program.h"

#include <gtest/gtest.h>

#include <functional>
#include <set>
#include <string>
#include <vector>

namespace buckram::app {
namespace {

struct Case {
  std::string name;
  std::function<void(const Bench&)> prepare;  // beside mark.svg, which is always there
  std::string words;                          // arguments
  std::vector<std::string> says;              // all of these stand in the message
  std::string before;                         // shell words in front of the program
};

std::function<void(const Bench&)> file(const std::string& name, const std::string& bytes) {
  return [=](const Bench& bench) { bench.put(name, bytes); };
}
const std::function<void(const Bench&)> kNothing = [](const Bench&) {};

std::string svg(const std::string& inside) {
  return "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 100 60'>" + inside + "</svg>";
}

std::string nested(int depth) {
  std::string open, close;
  for (int i = 0; i < depth; ++i) open += "<g>", close += "</g>";
  return svg(open + "<rect width='9' height='9'/>" + close);
}

std::string chained_clips(int n) {
  std::string inside = "<rect clip-path='url(#c0)' width='9' height='9'/>";
  for (int i = 0; i < n; ++i) {
    inside += "<clipPath id='c" + std::to_string(i) + "' clip-path='url(#c" +
              std::to_string(i + 1) + ")'><rect width='9' height='9'/></clipPath>";
  }
  return svg(inside);
}

std::string plan_with(const std::string& from, const std::string& to) {
  std::string plan =
      R"({"buckram_plan":1,"units":"mm","chart":"crown","job":{},"placement":{"matrix":[1,0,0,-1,0,0]},)"
      R"("threads":[{"name":"Chalk","rgb":"#f6f4ec","tex":27.0,"needle":1}],)"
      R"("objects":[{"id":1,"kind":"run","thread":0,"source":"a"}],)"
      R"("blocks":[{"object":1,"layer":"top","thread":0,"first":0,"count":5}],)"
      R"("stitches":{"x":[0,1,2,2,2],"y":[20,20,20,20,20],"op":"msste"}})";
  const std::size_t at = plan.find(from);
  EXPECT_NE(at, std::string::npos) << from;
  return plan.replace(at, from.size(), to);
}

std::vector<Case> artwork_cases() {
  const std::string bomb =
      "<!DOCTYPE svg [<!ENTITY a 'aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa'>"
      "<!ENTITY b '&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;'><!ENTITY c '&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;'>"
      "<!ENTITY d '&c;&c;&c;&c;&c;&c;&c;&c;&c;&c;'><!ENTITY e '&d;&d;&d;&d;&d;&d;&d;&d;&d;&d;'>]>" +
      svg("<title>&e;&e;&e;&e;&e;&e;&e;&e;&e;&e;</title><rect width='9' height='9'/>");
  const std::string outside = "<!DOCTYPE svg [<!ENTITY x SYSTEM 'file:///etc/passwd'>]>" +
                              svg("<title>&x;</title><rect width='9' height='9'/>");
  return {
      {"truncated svg",
       file("a.svg", std::string(kMark).substr(0, 120)),
       "plan a.svg -o out",
       {"a.svg"},
       ""},
      {"not xml",
       file("a.svg", "this is a letter, not a drawing"),
       "plan a.svg -o out",
       {"a.svg"},
       ""},
      {"empty file", file("a.svg", ""), "plan a.svg -o out", {"a.svg"}, ""},
      {"xml but no svg",
       file("a.svg", "<html><body/></html>"),
       "plan a.svg -o out",
       {"a.svg", "svg"},
       ""},
      {"paints nothing", file("a.svg", svg("<g/>")), "plan a.svg -o out", {"a.svg"}, ""},
      {"only a bitmap inside",
       file("a.svg", svg("<image href='x.png' width='9' height='9'/>")),
       "plan a.svg -o out",
       {"a.svg"},
       ""},
      {"entities without end", file("a.svg", bomb), "plan a.svg -o out", {"a.svg"}, ""},
      {"external entity", file("a.svg", outside), "plan a.svg -o out", {"a.svg"}, ""},
      {"nested without end", file("a.svg", nested(100000)), "plan a.svg -o out", {"a.svg"}, ""},
      {"a coordinate of 1e300",
       file("a.svg", svg("<rect width='1e300' height='9'/>")),
       "plan a.svg -o out",
       {"a.svg"},
       ""},
      {"clip paths in an endless chain",
       file("a.svg", chained_clips(20000)),
       "plan a.svg -o out",
       {"a.svg"},
       ""},
      {"gzipped", file("a.svg", "\x1f\x8b\x08 and so on"), "plan a.svg -o out", {"a.svg"}, ""},
      {"missing artwork", kNothing, "plan none.svg -o out", {"none.svg", "no such file"}, ""},
      {"a folder as artwork", kNothing, "plan . -o out", {"folder"}, ""},
      {"a picture", file("a.png", "\x89PNG\r\n\x1a\n"), "plan a.png -o out", {"a.png", "SVG"}, ""},
  };
}

std::vector<Case> lettering_cases() {
  return {
      {"lettering beside artwork", kNothing, "plan mark.svg --text Hello -o out", {"--text"}, ""},
      {"lettering without letters", kNothing, "plan --text ' ' -o out", {"artwork.text"}, ""},
      {"lettering in no font",
       kNothing,
       "plan --text Hello --font 'DejaVu Sanz' -o out",
       {"DejaVu Sanz", "DejaVu Sans"},
       ""},
      {"lettering in a file that is no font",
       file("x.ttf", "no font"),
       "plan --text Hello --font x.ttf -o out",
       {"x.ttf", "font"},
       ""},
      {"neither artwork nor lettering", kNothing, "plan -o out", {"artwork"}, ""},
  };
}

std::vector<Case> job_cases() {
  return {
      {"unknown cap",
       kNothing,
       "plan mark.svg --cap six-panel-structured-mdi -o out",
       {"six-panel-structured-mdi", "Did you mean six-panel-structured-mid"},
       ""},
      {"unknown mount",
       kNothing,
       "plan mark.svg --mount rotry -o out",
       {"rotry", "Did you mean rotary"},
       ""},
      {"unknown needle",
       kNothing,
       "plan mark.svg --needle 80:shrap -o out",
       {"80:shrap", "80:sharp"},
       ""},
      {"missing cap file",
       kNothing,
       "plan mark.svg --cap ./none.toml -o out",
       {"none.toml", "no such file"},
       ""},
      {"a cap file that is no cap",
       file("cap.toml", "crown = 3\n"),
       "plan mark.svg --cap ./cap.toml -o out",
       {"cap.toml"},
       ""},
      {"a mount file that is no TOML",
       file("m.toml", "= =\n"),
       "plan mark.svg --mount ./m.toml -o out",
       {"m.toml", "line 1"},
       ""},
      {"unknown key",
       kNothing,
       "plan mark.svg --set bench.rise_mm=2 -o out",
       {"rise_mm", "Did you mean raise_mm"},
       ""},
      {"unknown table",
       kNothing,
       "plan mark.svg --set bnech.raise_mm=2 -o out",
       {"bnech", "Did you mean bench"},
       ""},
      {"no key", kNothing, "plan mark.svg --set nonsense -o out", {"nonsense", "KEY=VALUE"}, ""},
      {"height not a number",
       kNothing,
       "plan mark.svg --height tall -o out",
       {"height_mm", "tall"},
       ""},
      {"height 5 km",
       kNothing,
       "plan mark.svg --height 5000000 -o out",
       {"height_mm", "1 to 400"},
       ""},
      {"negative width", kNothing, "plan mark.svg --width=-5 -o out", {"width_mm"}, ""},
      {"height not finite", kNothing, "plan mark.svg --height nan -o out", {"height_mm"}, ""},
      {"place of one number", kNothing, "plan mark.svg --at 3 -o out", {"at_mm", "[x, y]"}, ""},
      {"place of words", kNothing, "plan mark.svg --at here,there -o out", {"at_mm"}, ""},
      {"raise beyond the mount",
       kNothing,
       "plan mark.svg --set bench.raise_mm=9 -o out",
       {"raise_mm", "3"},
       ""},
      {"tautness 7",
       kNothing,
       "plan mark.svg --set bench.tautness=7 -o out",
       {"tautness", "0 to 1"},
       ""},
      {"turn by a quarter",
       kNothing,
       "plan mark.svg --set bench.turn_deg=90 -o out",
       {"turn_deg", "0 or 180"},
       ""},
      {"half a cap", kNothing, "plan mark.svg --caps 1.5 -o out", {"caps", "whole number"}, ""},
      {"speed of text", kNothing, "plan mark.svg --speed fast -o out", {"speed_spm"}, ""},
      {"unknown backing",
       kNothing,
       "plan mark.svg --set 'bench.backing=[\"tare-away\"]' -o out",
       {"tare-away", "tear-away"},
       ""},
      {"unknown style",
       kNothing,
       "plan mark.svg --set stitch.style=fancy -o out",
       {"style", "cap, flat"},
       ""},
      {"gap without place",
       kNothing,
       "plan mark.svg --set 'gap=[{gap_mm=2}]' -o out",
       {"x_mm", "missing"},
       ""},
      {"thread list with a bad colour",
       file("t.csv", "name,number,rgb,tex\nRed,1,red,27\n"),
       "plan mark.svg --set artwork.threads=t.csv -o out",
       {"t.csv", "red"},
       ""},
      {"empty thread list",
       file("t.csv", ""),
       "plan mark.svg --set artwork.threads=t.csv -o out",
       {"t.csv"},
       ""},
      {"job file that is no TOML",
       file("j.toml", "[artwork\n"),
       "plan j.toml -o out",
       {"j.toml", "line 1"},
       ""},
      {"job file without artwork",
       file("j.toml", "seed = 1\n"),
       "plan j.toml -o out",
       {"artwork"},
       ""},
      {"job file with an unknown key",
       file("j.toml", "[artwork]\nfile='mark.svg'\nheigth_mm=4\n"),
       "plan j.toml -o out",
       {"heigth_mm", "Did you mean height_mm"},
       ""},
  };
}

std::vector<Case> stitch_cases() {
  return {
      {"plan that is no JSON",
       file("p.json", "{\"buckram_plan\":1,"),
       "check p.json -o out",
       {"p.json"},
       ""},
      {"plan of another version",
       file("p.json", plan_with("\"buckram_plan\":1", "\"buckram_plan\":7")),
       "check p.json -o out",
       {"p.json", "7"},
       ""},
      {"JSON that is no plan", file("p.json", "{}"), "sheet p.json -o out.pdf", {"p.json"}, ""},
      {"plan with a null",
       file("p.json", plan_with("[0,1,2,2,2]", "[0,1,null,2,2]")),
       "check p.json -o out",
       {"p.json"},
       ""},
      {"plan with arrays of different length",
       file("p.json", plan_with("[0,1,2,2,2]", "[0,1,2,2]")),
       "check p.json -o out",
       {"p.json"},
       ""},
      {"plan with a block too long",
       file("p.json", plan_with("\"count\":5", "\"count\":500")),
       "check p.json -o out",
       {"p.json"},
       ""},
      {"plan with a stitch at 1e30",
       file("p.json", plan_with("[0,1,2,2,2]", "[0,1e30,2,2,2]")),
       "check p.json -o out",
       {"p.json"},
       ""},
      {"plan with an unknown op",
       file("p.json", plan_with("msste", "mszte")),
       "convert p.json --to csv -o out.csv",
       {"p.json"},
       ""},
      {"stitches without a header", file("s.csv", "1,2,3\n"), "check s.csv -o out", {"s.csv"}, ""},
      {"stitches with words for numbers",
       file("s.csv", "index,x_mm,y_mm,op,thread,object,layer,hazard\n0,a,b,s,0,1,top,\n"),
       "check s.csv -o out",
       {"s.csv"},
       ""},
      {"G-code that is none", file("s.gcode", "hello\n"), "check s.gcode -o out", {"s.gcode"}, ""},
      {"unknown kind of stitches", file("s.xyz", "x"), "check s.xyz -o out", {"s.xyz"}, ""},
      {"stitches beyond the field as G-code",
       file("p.json", plan_with("[20,20,20,20,20]", "[20,20,300,300,300]")),
       "convert p.json --to gcode -o out.gcode",
       {"p.json", "needle cannot go"},
       ""},
      {"unknown output kind",
       file("p.json", plan_with("msste", "msste")),
       "convert p.json --to embroidery -o out.x",
       {"embroidery", "gcode"},
       ""},
  };
}

// Beyond what any disk takes.
std::string long_path() {
  std::string path = "d";
  for (int i = 0; i < 3000; ++i) path += "/d";
  return path;
}

std::vector<Case> output_cases() {
  return {
      {"output folder is a file",
       file("out.txt", "kept"),
       "plan mark.svg --height 20 -o out.txt",
       {"out.txt"},
       ""},
      {"output under a file",
       file("out.txt", "kept"),
       "plan mark.svg --height 20 -o out.txt/deep",
       {"out.txt"},
       ""},
      {"output folder of a name too long",
       kNothing,
       "plan mark.svg --height 20 -o " + std::string(300, 'n'),
       {"name too long"},
       ""},
      {"output path too long",
       kNothing,
       "plan mark.svg --height 20 -o " + long_path(),
       {"name too long"},
       ""},
      {"artwork path too long", kNothing, "plan " + long_path() + ".svg -o out", {"d/d"}, ""},
      {"output that is not UTF-8",
       kNothing,
       "plan mark.svg --height 20 -o 'caf\xe9'",
       {"caf\\xe9", "UTF-8"},
       ""},
      {"artwork that is not UTF-8",
       file("caf\xe9.svg", kMark),
       "plan 'caf\xe9.svg' -o out",
       {"caf\\xe9.svg", "UTF-8"},
       ""},
      {"data folder of a path too long",
       kNothing,
       "plan mark.svg -o out",
       {"BUCKRAM_DATA"},
       "BUCKRAM_DATA=" + long_path()},
      {"output where nothing may be written",
       kNothing,
       "plan mark.svg --height 20 -o /proc/out",
       {"/proc/out"},
       ""},
      {"no room",
       kNothing,
       "plan mark.svg --height 20 -o out",
       {"out"},
       "trap '' XFSZ; ulimit -f 8;"},
      {"no output named", kNothing, "plan mark.svg", {"--output"}, ""},
      {"unknown verb", kNothing, "paln mark.svg -o out", {"paln", "Did you mean plan"}, ""},
      {"unknown option", kNothing, "plan mark.svg --hieght 3 -o out", {"--hieght"}, ""},
      {"nothing to list", kNothing, "list hats", {"hats"}, ""},
      {"no data folder",
       kNothing,
       "plan mark.svg -o out",
       {"BUCKRAM_DATA"},
       "BUCKRAM_DATA=/nowhere"},
  };
}

std::set<std::string> names_in(const fs::path& folder) {
  std::set<std::string> names;
  for (const auto& entry : fs::recursive_directory_iterator(folder)) {
    names.insert(fs::relative(entry.path(), folder).string());
  }
  return names;
}

void refuse_all(const std::vector<Case>& cases) {
  for (const Case& each : cases) {
    SCOPED_TRACE(each.name);
    const Bench bench;
    bench.put("mark.svg", kMark);
    each.prepare(bench);
    const std::set<std::string> before = names_in(bench.folder());
    const Answer answer = bench.run(each.words, each.before);
    EXPECT_EQ(answer.status, 2) << answer.err;
    EXPECT_EQ(answer.err.rfind("buckram: ", 0), 0U) << answer.err;
    for (const std::string& words : each.says) {
      EXPECT_NE(answer.err.find(words), std::string::npos)
          << "wants \"" << words << "\" in: " << answer.err;
    }
    EXPECT_EQ(names_in(bench.folder()), before) << "something was written";
  }
}

TEST(BrokenInputs, Artwork) {
  refuse_all(artwork_cases());
}
TEST(BrokenInputs, Lettering) {
  refuse_all(lettering_cases());
}
TEST(BrokenInputs, Job) {
  refuse_all(job_cases());
}
TEST(BrokenInputs, Stitches) {
  refuse_all(stitch_cases());
}
TEST(BrokenInputs, Output) {
  refuse_all(output_cases());
}

TEST(BrokenInputs, ThereAreAtLeastForty) {
  EXPECT_GE(
      artwork_cases().size() + job_cases().size() + stitch_cases().size() + output_cases().size(),
      40U);
}

TEST(BrokenInputs, AFileThatWasThereStaysAsItWas) {
  const Bench bench;
  bench.put("mark.svg", kMark);
  bench.put("out.txt", "kept");
  bench.run("plan mark.svg --height 20 -o out.txt");
  EXPECT_EQ(bench.get("out.txt"), "kept");
}

}  // namespace
}  // namespace buckram::app
