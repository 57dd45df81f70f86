// The run sheet, chart and preview against tools that are not ours: qpdf, poppler, librsvg, cairo.
#include "report/crest.h"
#include "report/paper.h"

#include "report/report.h"
#include "report/sheet.h"

#include <cairo.h>
#include <gtest/gtest.h>

#include <ctime>
#include <librsvg/rsvg.h>

#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <map>
#include <sstream>
#include <string>
#include <vector>

namespace buckram::report_tests {
namespace {

// The crest's sheet as most tests read it, made once a paper: a sheet takes a third of a second.
const std::string& plain_sheet(report::Paper paper = report::Paper::a4) {
  static const Crest crest = make_crest();
  static std::map<report::Paper, std::string> made;
  std::string& sheet = made[paper];
  if (sheet.empty()) sheet = report::sheet_pdf(crest.subject(), paper);
  return sheet;
}

TEST(Sheet, IsAcceptedByQpdfAndHasThreePages) {
  for (const report::Paper paper : {report::Paper::a4, report::Paper::letter}) {
    const Scratch scratch;
    scratch.put("s.pdf", plain_sheet(paper));
    EXPECT_NE(scratch.say("qpdf --check s.pdf").find("No syntax or stream encoding errors found"),
              std::string::npos);
    EXPECT_EQ(scratch.say("qpdf --show-npages s.pdf"), "3\n");
    const std::string size = paper == report::Paper::a4 ? "595.276 x 841.89" : "612 x 792";
    EXPECT_NE(scratch.say("pdfinfo s.pdf").find(size), std::string::npos);
  }
}

// Grey page in a raster of 254 dots an inch: 10 px to the mm.
struct Page {
  int width = 0, height = 0;
  std::string grey;
  bool is_dark(int x, int y) const {
    return static_cast<unsigned char>(grey[std::size_t(y) * width + x]) < 110;
  }
};

Page render(const Scratch& scratch, int page) {
  scratch.say("pdftoppm -r 254 -gray -f " + std::to_string(page) + " -l " + std::to_string(page) +
              " s.pdf page");
  const std::string bytes = scratch.get("page-" + std::to_string(page) + ".pgm");
  Page made;
  int deepest = 0, head = 0;
  if (std::sscanf(bytes.c_str(), "P5 %d %d %d%n", &made.width, &made.height, &deepest, &head) ==
      3) {
    made.grey = bytes.substr(std::size_t(head) + 1);
  }
  return made;
}

// The check ruler is the lowest long line of the page: 50 mm are 500 px.
TEST(Sheet, TemplateIsOneToOne) {
  for (const report::Paper paper : {report::Paper::a4, report::Paper::letter}) {
    const Scratch scratch;
    scratch.put("s.pdf", plain_sheet(paper));
    const Page page = render(scratch, 3);
    ASSERT_GT(page.width, 2000);
    int ruler = 0;
    for (int y = page.height - 1; y >= 0 && ruler == 0; --y) {
      int run = 0;
      for (int x = 0; x < page.width; ++x) {
        run = page.is_dark(x, y) ? run + 1 : 0;
        if (run > 300) ruler = std::max(ruler, run);
      }
    }
    EXPECT_NEAR(ruler, 500, 3) << "0.3 mm over 50";
  }
}

TEST(Sheet, SaysWhatTheShopNeeds) {
  const Scratch scratch;
  scratch.put("s.pdf", plain_sheet());
  const std::string text = scratch.say("pdftotext -layout s.pdf -");
  for (const char* words : {"Keld Harbour crest", "BILL", "THREADS", "TAKE CARE", "needle",
                            "RUN STRIP", "WORST PLACES"}) {
    EXPECT_NE(text.find(words), std::string::npos) << words;
  }
}

// A machine counts needle-downs: no number on the sheet may pass the plan's own count.
TEST(Sheet, StitchNumbersCountNeedleDownsOnly) {
  const Crest crest = make_crest();
  const Scratch scratch;
  scratch.put("s.pdf", plain_sheet());
  const std::string text = scratch.say("pdftotext -layout -f 2 -l 2 s.pdf -");
  const needle::WorstPlace& first = crest.verdict.forecast->worst.front();
  int n = 0;
  for (int i = 0; i <= first.entry; ++i) {
    n += crest.plan.op[static_cast<std::size_t>(i)] == stitch::Op::sew;
  }
  ASSERT_LT(n, first.entry + 1) << "the crest moves and trims before it";
  std::string shown = std::to_string(n);
  if (n >= 1000) shown.insert(shown.size() - 3, ",");
  EXPECT_NE(text.find("stitch " + shown), std::string::npos) << text;
}

// On a rework sheet the needle to fit stands in the bench's rows, the job's own only as what it
// was.
TEST(Sheet, ReworkShowsWhatToFit) {
  Crest crest = make_crest();
  crest.verdict.best_bench->needle.name = "90:sharp";
  crest.setup.bench.raise_mm = 0;
  const Scratch scratch;
  scratch.put("s.pdf", report::sheet_pdf(crest.subject()));
  const std::string first = scratch.say("pdftotext -layout -f 1 -l 1 s.pdf -");
  EXPECT_NE(first.find("90/14 sharp, new"), std::string::npos) << first;
  EXPECT_EQ(first.find("80/12 sharp, new"), std::string::npos);
  EXPECT_NE(first.find("CHANGED"), std::string::npos);
  const std::string running = flowed(scratch.say("pdftotext -f 1 -l 1 s.pdf -"));
  EXPECT_NE(running.find("(plate plain, no packing"), std::string::npos) << running;
  EXPECT_EQ(running.find("; foot 3.5"), std::string::npos) << "its height stays as it was";
  EXPECT_NE(first.find("0.4 needle breaks per 100 caps"), std::string::npos);
  // Page 2 is of the bench to set up too, with what it was before.
  const std::string second = flowed(scratch.say("pdftotext -f 2 -l 2 s.pdf -"));
  EXPECT_NE(second.find("AS PAGE 1 SETS IT UP. The risk on this page is that of the changed bench: "
                        "about 0.4 needle breaks per 100 caps. As the job has it (plate plain"),
            std::string::npos)
      << second;
  EXPECT_NE(second.find("The frame still swings here"), std::string::npos) << second;
  EXPECT_EQ(second.find("slopes by 12 degrees"), std::string::npos) << second;
  crest.verdict.answer = advise::Answer::run;  // nothing has to change: the bench as asked
  scratch.put("s.pdf", report::sheet_pdf(crest.subject()));
  const std::string run = scratch.say("pdftotext -layout -f 1 -l 1 s.pdf -");
  EXPECT_NE(run.find("80/12 sharp, new"), std::string::npos);
  EXPECT_EQ(run.find("CHANGED"), std::string::npos);
}

// A stitch file read with a wrong unit: the template leaves out what lies off any cap, and takes no
// longer for it (over the whole box its outlines would take gigabytes).
TEST(SlowSheet, StitchesMetresOffTheCapCostNothing) {
  Crest crest = make_crest();
  for (std::size_t i = 40; i < 60; ++i) {
    crest.plan.x[i] = i % 2 ? -1900 : 1900;
    crest.plan.y[i] = i % 2 ? -1900 : 1900;
  }
  const std::clock_t start = std::clock();
  EXPECT_FALSE(report::sheet_pdf(crest.subject()).empty());
  EXPECT_LT(static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC, 15);
}

TEST(Sheet, TellsThreadBobbinsAndConesOfTheOrder) {
  const Scratch scratch;
  scratch.put("s.pdf", plain_sheet());
  const std::string text = scratch.say("pdftotext -layout -f 1 -l 1 s.pdf -");
  for (const char* words :
       {"27 tex", "trims", "bobbins of 100 m", "one cone of 5,000 m", "wide", "date ____"}) {
    EXPECT_NE(text.find(words), std::string::npos) << words << text;
  }
}

TEST(Sheet, NamesTheMachineFileItsStitchesAndTheThreadsNumbers) {
  Crest crest = make_crest();
  crest.plan.threads[0].number = "H41";
  crest.plan.threads[2].number = "1147-b";
  const Scratch scratch;
  scratch.put("s.pdf", plain_sheet());
  const std::string without = scratch.say("pdftotext -layout -f 1 -l 1 s.pdf -");
  EXPECT_NE(without.find("no machine file yet"), std::string::npos) << without;
  report::Subject subject = crest.subject();
  subject.machine_file = "crest.gcode";
  scratch.put("s.pdf", report::sheet_pdf(subject));
  const std::string text = scratch.say("pdftotext -layout -f 1 -l 1 s.pdf -");
  std::string count = std::to_string(stitch::count(crest.plan).stitches);
  if (count.size() > 3) count.insert(count.size() - 3, ",");
  for (const std::string& words :
       {std::string("crest.gcode"), "crest.gcode, " + count, std::string("Kelp green H41"),
        std::string("Harbour navy 1147-b")}) {
    EXPECT_NE(flowed(text).find(words), std::string::npos) << words << text;
  }
  EXPECT_EQ(text.find("no machine file"), std::string::npos);
  crest.verdict.answer = advise::Answer::refuse;
  scratch.put("s.pdf", report::sheet_pdf(subject));
  const std::string refused = flowed(scratch.say("pdftotext -f 1 -l 1 s.pdf -"));
  EXPECT_NE(refused.find("crest.gcode is not to be sewn as it is"), std::string::npos) << refused;
}

// The file says the job's speed: where the sheet asks for another, it says so.
TEST(Sheet, SaysWhenTheFilesSpeedIsNotTheOneToSet) {
  Crest crest = make_crest();
  crest.verdict.best_bench->speed_spm = crest.setup.bench.speed_spm - 100;
  const Scratch scratch;
  report::Subject subject = crest.subject();
  subject.machine_file = "crest.gcode";
  scratch.put("s.pdf", report::sheet_pdf(subject));
  const std::string text = flowed(scratch.say("pdftotext -f 1 -l 1 s.pdf -"));
  EXPECT_NE(text.find("set the speed by hand"), std::string::npos) << text;
}

TEST(Sheet, TellsWhatIsLikelyOfTheSetUpToFit) {
  const Scratch scratch;
  scratch.put("s.pdf", plain_sheet());
  const std::string text = flowed(scratch.say("pdftotext -f 1 -l 1 s.pdf -"));
  EXPECT_NE(text.find("about 0.4 needle breaks per 100 caps, likely 0.1 to 1.2"), std::string::npos)
      << text;
}

// The words of a page as they are laid out, without the PDF round them.
std::string words_of(report::Picture (*draw_page)(const report::Sheet&), const Crest& crest) {
  const report::TypeRule rule;
  const report::Subject subject = crest.subject();
  const report::Picture page = draw_page(report::open_sheet(subject, rule, report::Paper::a4));
  std::string words;
  for (const report::Item& item : page.items)
    if (const auto* text = std::get_if<report::Text>(&item)) words += text->words + " ";
  return flowed(words);
}

TEST(Sheet, TellsTheLimitTheChangesAndWhenTheRangePassesTheLimit) {
  Crest crest = make_crest();
  std::string text = words_of(report::ticket_page, crest);
  EXPECT_NE(text.find("Your limit: 2 per 100 caps."), std::string::npos) << text;
  EXPECT_EQ(text.find("could be over"), std::string::npos);
  EXPECT_NE(text.find("WHAT EACH CHANGE DOES"), std::string::npos);
  // A plan that runs, and could run better: the cheapest change stands first.
  crest.verdict.answer = advise::Answer::run;
  crest.verdict.forecast->breaks_per_cap = 0.013, crest.verdict.forecast->high = 0.041;
  for (advise::Change& change : crest.verdict.changes) change.chosen = false;
  crest.verdict.changes[0].breaks = -0.6, crest.verdict.changes[0].time_s = 30;
  crest.verdict.changes[1].breaks = -0.3, crest.verdict.changes[1].time_s = 15;
  text = words_of(report::ticket_page, crest);
  EXPECT_NE(text.find("Your limit: 2 per 100 caps; it could be over."), std::string::npos) << text;
  const std::size_t clip = text.find("Clip both edges of the front 1.3 → 1 12 min"),
                    pack = text.find("Pack the plate up by 0.5 mm 1.3 → 0.7 24 min");
  ASSERT_NE(clip, std::string::npos) << text;
  ASSERT_NE(pack, std::string::npos) << text;
  EXPECT_LT(clip, pack);
  for (advise::Change& change : crest.verdict.changes) change.breaks = 0;
  text = words_of(report::ticket_page, crest);
  EXPECT_EQ(text.find("WHAT WOULD HELP"), std::string::npos) << "nothing worth telling";
}

// 40,000 named parts in one visit: four are named, the rest counted.
TEST(Sheet, PartsOfAHugeVisitAreCounted) {
  Crest crest = make_crest({.has_forecast = false});
  constexpr int kObjects = 40'000;
  std::vector<stitch::PlanObject> objects;
  for (int k = 0; k < kObjects; ++k)
    objects.push_back({k + 1, stitch::Kind::run, 0, "part-" + std::to_string(k), ""});
  stitch::Builder builder({crest.plan.threads[0]}, objects);
  for (int k = 0; k < kObjects; ++k) {
    const geometry::Point at{-50 + 0.5 * (k % 200), 16 + 0.2 * (k / 200)};
    builder.begin(k + 1, stitch::Layer::top);
    builder.move(at);
    builder.sew(at);
    builder.sew(at + geometry::Point{0.4, 0});
  }
  crest.plan = builder.finish();
  crest.verdict.per_cap.reset();
  const std::string text = words_of(report::ticket_page, crest);
  EXPECT_NE(text.find("and 39,996 more"), std::string::npos) << text;
}

// A note is told in full or counted, never cut.
TEST(Sheet, NotesAreToldInFullAndTheRestCounted) {
  for (const int n_notes : {1, 2, 5, 30}) {
    SCOPED_TRACE(n_notes);
    Crest crest = make_crest();
    for (int k = 0; k < n_notes; ++k)
      crest.verdict.notes.push_back({"small",
                                     "row-" + std::to_string(k),
                                     "9 letters or details in a row, 4.9 mm high, under 6.4 mm: "
                                     "make them larger, or sew them "
                                     "with finer thread and a size 65 or 70 needle ending " +
                                         std::to_string(k),
                                     {double(k), 20}});
    const std::string text = words_of(report::chart_page, crest);
    int n_told = 0;
    for (int k = 0; k < n_notes; ++k)
      n_told += text.find("needle ending " + std::to_string(k) + " ") != std::string::npos;
    EXPECT_EQ(text.find("…"), std::string::npos) << text;
    EXPECT_GE(n_told, std::min(n_notes, 2)) << text;
    const std::string rest = "and " + std::to_string(n_notes - n_told) + " more in verdict.json";
    EXPECT_EQ(text.find(rest) != std::string::npos, n_told < n_notes) << text;
  }
}

// Six places are ringed; each is in the list, or the list says how many it leaves out.
TEST(Sheet, WorstPlacesAreListedOrCounted) {
  for (const std::size_t length : {1U, 3U, 8U}) {
    SCOPED_TRACE(length);
    Crest crest = make_crest();
    ASSERT_GE(crest.verdict.forecast->worst.size(), 6U);
    for (needle::WorstPlace& place : crest.verdict.forecast->worst) {
      const std::string once = place.why;
      for (std::size_t k = 1; k < length; ++k) place.why += " " + once;
    }
    const std::string text = words_of(report::chart_page, crest);
    int n_listed = 0;
    for (std::size_t at = text.find(" a cap · within 5 mm"); at != std::string::npos;
         at = text.find(" a cap · within 5 mm", at + 1))
      ++n_listed;
    EXPECT_GE(n_listed, 1) << text;
    if (length == 1) {
      EXPECT_EQ(n_listed, 6) << text;
    }
    const std::string rest = "and " + std::to_string(6 - n_listed) + " more, ringed on the chart";
    EXPECT_EQ(text.find(rest) != std::string::npos, n_listed < 6) << text;
  }
}

TEST(Sheet, FontsAreEmbeddedAndBytesReproducible) {
  const Crest crest = make_crest();
  const std::string pdf = report::sheet_pdf(crest.subject());
  EXPECT_EQ(pdf, plain_sheet());
  const Scratch scratch;
  scratch.put("s.pdf", pdf);
  std::istringstream lines(scratch.say("pdffonts s.pdf"));
  int n_fonts = 0;
  for (std::string line; std::getline(lines, line);) {
    if (line.find("yes") == std::string::npos) continue;
    ++n_fonts;
    EXPECT_NE(line.find("yes yes yes"), std::string::npos) << line;  // embedded, subset, unicode
  }
  EXPECT_GE(n_fonts, 2);
}

TEST(Sheet, StandsManyThreadsNoSeamAndNoForecast) {
  for (const CrestOptions& options :
       {CrestOptions{.threads = 15}, CrestOptions{.threads = 1}, CrestOptions{.has_seam = false},
        CrestOptions{.has_forecast = false}}) {
    const Crest crest = make_crest(options);
    const Scratch scratch;
    scratch.put("s.pdf", report::sheet_pdf(crest.subject()));
    const std::string n_pages = scratch.say("qpdf --show-npages s.pdf");
    EXPECT_EQ(n_pages, "3\n");
  }
}

TEST(Chart, IsDrawnByLibrsvgAndStaysSmall) {
  const Crest crest = make_crest();
  const std::string svg = report::chart_svg(crest.subject());
  EXPECT_LT(svg.size(), 2'000'000U);
  GError* trouble = nullptr;
  RsvgHandle* handle =
      rsvg_handle_new_from_data(reinterpret_cast<const guint8*>(svg.data()), svg.size(), &trouble);
  ASSERT_NE(handle, nullptr) << trouble->message;
  cairo_surface_t* surface = cairo_image_surface_create(CAIRO_FORMAT_ARGB32, 600, 450);
  cairo_t* cairo = cairo_create(surface);
  const RsvgRectangle box{0, 0, 600, 450};
  EXPECT_TRUE(rsvg_handle_render_document(handle, cairo, &box, &trouble));
  cairo_destroy(cairo);
  cairo_surface_destroy(surface);
  g_object_unref(handle);
}

TEST(Chart, ShowsTheSeamOnlyWhereThereIsOne) {
  const std::string with = report::chart_svg(make_crest().subject());
  const std::string without = report::chart_svg(make_crest({.has_seam = false}).subject());
  EXPECT_NE(with.find("centre seam"), std::string::npos);
  EXPECT_EQ(without.find("centre seam"), std::string::npos);
}

}  // namespace
}  // namespace buckram::report_tests
