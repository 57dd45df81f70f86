// The crown chart's drawings. Pictures are in chart mm with y turned down (y = 0 is the bill seam,
// the crown lies at negative y).
#pragma once

#include "report/canvas.h"
#include "report/terrain.h"

#include <optional>
#include <string>
#include <vector>

namespace buckram::report {

// How a chart is inked. Line weights and letters are given in px of the reference look, so that
// they keep their size on paper at any scale.
struct Look {
  double px_mm = 0.16;  // chart mm that one px stands for
  Colour paper = kPaper;
  Colour sea = kSea;
  Colour land = kPaper;  // paper, or the cap's colour, paler, where threads need it
  // Places of names and figures are settled with this rule; must outlive the drawing.
  const TypeRule* rule = nullptr;
};

// Look for screens (paper ground) or for a printed sheet (white).
Look screen_look(const TypeRule& rule, double px_mm);
Look print_look(const TypeRule& rule, double px_mm);
// The land's colour: the cap's cloth, paler, when a thread that lies on bare land could not be told
// from paper.
Colour land_colour(const Subject& subject, Colour paper);

// Lowest stitch above the bill seam, and height of the design on a rotary mount (common practice,
// no source).
inline constexpr double kUsualLowest_mm = 12.7, kUsualHeight_mm = 50.8;
// Where the top of this design would lie if it were as tall as is usual: its lower edge plus
// kUsualHeight_mm, chart y. Empty on flat mounts and without stitches.
std::optional<double> usual_top_mm(const Subject& subject);

inline geometry::Point on_picture(geometry::Point chart) {
  return {chart.x, -chart.y};
}

enum class Shading { threads, hazard };

struct ChartParts {
  Shading shading = Shading::threads;
  bool has_frame = true;     // black and white bars every 5 mm, figures in mm and inches
  bool has_names = true;     // of places, and figures on contours
  bool has_callouts = true;  // words at the worst places; else numbers only
  bool has_marks = true;     // worst places, start, readings
};

struct Callout {              // of a worst place
  int number = 1;             // from 1, by chance
  geometry::Point at;         // chart
  std::string part;           // "Brass column 2.3 mm wide, round the edge"
  std::string object, where;  // "Brass column"; "on the seam"
  std::string detail;         // "gap 1.9 mm"
  double share = 0;           // of all expected breaks: those within 5 mm of here
  int entry = 0;
};
// The worst places in words; empty without a forecast.
std::vector<Callout> callouts(const Subject& subject, std::size_t most);
// The part without what `where` tells better: of "column 3.8 mm wide, left" beside "left of the
// seam" "column 3.8 mm wide"; of "edge, bottom, 2nd of 2 from the top" beside "on the seam, 18 mm
// up" "edge".
std::string part_beside(const Callout& place);

struct ChartPicture {
  Picture picture;
  geometry::Box extent;  // picture mm: window, frame and figures
};

// `window` must lie within terrain.window.
ChartPicture draw_chart(const Subject& subject, const Terrain& terrain, const Look& look,
                        const ChartParts& parts, const geometry::Box& window);

// The parts, for drawings that put them together in their own way. Not clipped.
Picture draw_ground(const Subject& subject, const Terrain& terrain, const Look& look);
Picture draw_start(geometry::Point at, const Look& look, double radius_px);
// A row of samples with their meaning, `width_mm` wide; returns its height through `height_mm`.
Picture draw_key(const Subject& subject, const Terrain& terrain, const Look& look, double width_mm,
                 double& height_mm);

// The six shades of hazard with the chances where each begins; about 42 px tall.
Picture draw_ramp(const Look& look, double width_mm);

}  // namespace buckram::report
