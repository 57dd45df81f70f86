// Door of report/: the run sheet, the crown chart, the preview.
#pragma once

#include "advise/advise.h"
#include "cap/cap.h"
#include "stitch/stitch.h"

#include <string>
#include <vector>

namespace buckram::report {

// Everything a picture may need. References are to what outlives the call.
struct Subject {
  const stitch::Plan& plan;
  const cap::Setup& setup;
  const advise::Verdict& verdict;
  std::string title;     // "Keld Harbour crest": the artwork's name in words
  std::string artwork;   // file name as the ticket shows it
  std::string customer;  // may be empty
  int caps = 1;
  geometry::Box artwork_box;      // painted box on the chart, mm
  std::string machine_file = {};  // to load, as the shop finds it; empty: not made yet
  bool file_says_speed = true;    // the machine slows by it; else the operator has to
  advise::ShopTimes times = {};
  std::string date = {};  // of the plan, "2026-11-25..."; empty: the sheet shows none
};

enum class Paper { a4, letter };

// Three pages: the ticket and set-up; the crown chart, run strip and worst places; the placement
// template at exactly 1:1. Same subject, same bytes. Throws Error{cannot_write} when a font lacks
// a needed glyph.
std::string sheet_pdf(const Subject& subject, Paper paper = Paper::a4);

// The crown chart as SVG, user unit = 1 mm of chart.
std::string chart_svg(const Subject& subject);

// The crown seen from the front with the threads drawn, PNG, `width_px` wide; below it the stitches
// in close-up, laid flat: there width and height are as true as on the chart.
std::string preview_png(const Subject& subject, int width_px = 1200);

}  // namespace buckram::report
