// What has to stand on the sheet finds its room, on page 1 or behind it.
#include "report/crest.h"
#include "report/paper.h"

#include "report/report.h"

#include <gtest/gtest.h>

#include <string>
#include <vector>

namespace buckram::report_tests {
namespace {

// However much there is to say: every caution stands on paper in full, every row of the bench is
// there, no words lie on others and none is cut.
TEST(Sheet, NothingIsCutWhereThereIsMuchToSay) {
  const std::string first_run =
      "First file of a layout new to this machine: its manual first; no cap mounted, needle and "
      "frame clear, slowest speed, a hand on the stop.";
  for (const int n_long : {0, 1, 6, 40}) {
    for (const int threads : {1, 4, 15}) {
      SCOPED_TRACE(std::to_string(n_long) + " long cautions, " + std::to_string(threads));
      Crest crest = make_crest({.threads = threads});
      std::vector<std::string>& cautions = crest.verdict.cautions;
      cautions = advise::standing_cautions();
      cautions.insert(cautions.begin(), first_run);
      for (int k = 0; k < n_long; ++k) {
        std::string words = "Caution" + std::to_string(k);
        for (int i = 0; i < 40; ++i) words += " word" + std::to_string(i);
        cautions.push_back(words + " end" + std::to_string(k) + ".");
      }
      crest.verdict.best_bench->needle.name = "90:sharp";
      crest.verdict.best_bench->speed_spm = 500;
      crest.verdict.best_bench->is_pressed = true;
      const Scratch scratch;
      report::Subject subject = crest.subject();
      subject.machine_file = "stitches.quay";
      scratch.put("s.pdf", report::sheet_pdf(subject));
      const std::string text = flowed(scratch.say("pdftotext s.pdf -"));
      for (const std::string& caution : cautions)
        EXPECT_NE(text.find(caution), std::string::npos) << caution << "\n" << text;
      for (const char* label :
           {"Plate", "Front", "Foot", "Needle", "Backing", "Speed", "Load", "Way up", "Start"})
        EXPECT_NE(text.find(std::string(label) + " "), std::string::npos) << label;
      if (threads < 15) {  // their long names are shortened in their table
        EXPECT_EQ(flowed(scratch.say("pdftotext -f 1 -l 1 s.pdf -")).find("…"), std::string::npos);
      }
      EXPECT_EQ(overlaps_on(scratch, 1), "");
      const int n_pages = std::stoi(scratch.say("qpdf --show-npages s.pdf"));
      if (n_long == 40) {
        EXPECT_GE(n_pages, 4);
      }
      for (int page = 4; page <= n_pages; ++page) EXPECT_EQ(overlaps_on(scratch, page), "");
    }
  }
}

// One line each, before and after, and what all came to.
TEST(Sheet, SaysWhatWasChangedBeforeThePlan) {
  Crest crest = make_crest();
  advise::Verdict& v = crest.verdict;
  v.answer = advise::Answer::run;
  v.forecast->breaks_per_cap = 0.009;
  advise::Applied applied;
  applied.before = {27, 10, 50};
  applied.time_before_s = v.per_cap->time.total_s();
  applied.changes = v.changes;
  applied.changes[0].breaks = -18, applied.changes[0].time_s = 2.5;
  applied.changes[1].breaks = -9, applied.changes[1].time_s = 15;
  v.applied = applied;
  v.changes.clear();
  const Scratch scratch;
  scratch.put("s.pdf", report::sheet_pdf(crest.subject()));
  const std::string text = flowed(scratch.say("pdftotext -layout s.pdf -"));
  EXPECT_NE(text.find("WHAT WAS CHANGED"), std::string::npos) << text;
  EXPECT_NE(text.find("Pack the plate up by 0.5 mm 27 → 9 2 min"), std::string::npos) << text;
  EXPECT_NE(text.find("Clip both edges of the front 27 → 18 12 min"), std::string::npos) << text;
  EXPECT_NE(text.find("All together 27 → 0.9 none"), std::string::npos) << text;
  EXPECT_EQ(text.find("Sew at 550 a minute"), std::string::npos) << "not chosen";
}

// What would run instead of a refused order stands on paper.
TEST(Sheet, ARefusalTellsTheNearestOffers) {
  Crest crest = make_crest();
  crest.verdict.answer = advise::Answer::refuse;
  advise::Offer offer;
  offer.why =
      "fits at 31.0 mm tall, its lower edge 16 mm above the bill seam; about 1.7 needle "
      "breaks per 100 caps";
  crest.verdict.offers = {offer};
  const Scratch scratch;
  scratch.put("s.pdf", report::sheet_pdf(crest.subject()));
  const std::string text = flowed(scratch.say("pdftotext -f 1 -l 1 s.pdf -"));
  EXPECT_NE(text.find("It " + offer.why), std::string::npos) << text;
}

}  // namespace
}  // namespace buckram::report_tests
