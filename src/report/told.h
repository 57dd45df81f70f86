// Second door of report/: what a screen tells of a plan, the sheet's words and figures as data, for
// whoever draws them himself.
#pragma once

#include "report/report.h"

#include "base/base.h"

#include <optional>
#include <string>
#include <vector>

namespace buckram::report {

struct ToldPlace {  // one of the worst places
  int number = 1;   // from 1, by chance; the index into the forecast's `worst` is one less
  int entry = 0;
  geometry::Point at;  // chart
  std::string part;    // "Brass column 2.3 mm wide, round the edge"
  std::string where;   // "on the seam"
  std::string detail;  // "gap 1.9 mm"
  double share = 0;    // of all expected breaks: those within 5 mm of here
};

struct ToldStep {      // of setting up the bench
  std::string label;   // "Plate"
  std::string value;   // "raised 2 mm, no packing"
  std::string inches;  // "0.08 in" where the value has a length, else empty
  std::string reason;
  bool is_change = false;  // differs from the bench that the job has
};

struct ToldVisit {  // one stay at one thread
  int thread = 0;   // index into Plan::threads
  int stitches = 0;
  int first = 0, end = 0;  // entries
  double needle_m = 0;     // a cap
  std::string sews;        // the parts, as "Chief, letter ground"
};

struct Told {
  std::vector<std::string> objects;    // in words, one for each of Plan::objects
  std::vector<ToldPlace> worst;        // empty without a forecast
  std::vector<ToldStep> bench;         // as it is to be set up: with the changes that a rework asks
  std::vector<ToldVisit> visits;       // in sewing order
  std::vector<double> timeline_s;      // seconds since the start at the end of each entry
  double seconds_a_cap = 0;            // with mounting and stops
  int spare_caps = 0;                  // to have beside the order
  std::optional<double> usual_top_mm;  // chart y; empty on flat mounts
};
// O(stitches) and a survey of the gap; some tens of ms.
Told tell(const Subject& subject);

// What of the chart is shown for artwork in that box (empty: none yet): with room for words beside
// it, the bill seam, and the field's top where that is near. Chart mm, on whole 5 mm.
geometry::Box chart_window(const geometry::Box& art, const geometry::Polygons& reach);

// The cap in the round: half axes across and along the head are in this ratio (report/cap_view.h).
double head_ratio();

// The shape of the bill as it is drawn; estimates, from memory.
struct BillShape {
  double half_rad = 74 * base::kPi / 180;  // of the seam, from the front
  double long_mm = 68, drop_mm = 5;
  double curve_per_mm = 0.0024;  // falls by this times x^2 at its edge
};

}  // namespace buckram::report
