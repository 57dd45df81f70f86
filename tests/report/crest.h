// A crest of our own making, sewn by a simple hand: columns, fills and runs enough to look at and
// to measure, with a hazard that rises towards the seam and the bill. For tests and benches of
// report/ only: it keeps no craft limits.
#pragma once

#include "report/report.h"

#include <cmath>
#include <string>
#include <vector>

namespace buckram::report_tests {

struct CrestOptions {
  double row_mm = 0.4;       // smaller: more stitches
  int threads = 4;           // 1 to 30; more than 4 repeat the fills in narrow bands
  double height_mm = 46;
  bool has_forecast = true;
  bool has_worst = true;
};

struct Crest {
  stitch::Plan plan;
  cap::Setup setup;
  advise::Verdict verdict;
  geometry::Box box;

  report::Subject subject() const {
    return {plan, setup, verdict, "Keld Harbour crest", "keld-harbour-crest.svg",
            "Keld Harbour Rowing", 48, box};
  }
};

cap::Setup six_panel_setup();
Crest make_crest(const CrestOptions& options = {});

}  // namespace buckram::report_tests
