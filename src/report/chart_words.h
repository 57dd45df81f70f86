// Words and figures on the chart: where there is room for them.
#pragma once

#include "report/chart.h"
#include "report/sewn_land.h"

#include <vector>

namespace buckram::report {

// Boxes of picture mm that are taken. Later comers give way.
struct Occupied {
  std::vector<geometry::Box> boxes;
  bool is_free(const geometry::Box& box, double margin_mm) const;
  // Takes the box when it is free.
  bool take(const geometry::Box& box, double margin_mm);
};

// The box of one line of text, turned or not.
geometry::Box text_box(const Text& text, const TypeRule& rule);

// Names of places ("beyond the frame's field", "centre seam"), in the serif's italic.
void draw_names(Picture& picture, const Subject& subject, const Terrain& terrain,
                const geometry::Box& window, const Look& look, Occupied& taken);
// Figures that stand on the contours, turned with the line, left and right of the artwork.
void draw_level_figures(Picture& picture, const Terrain& terrain, const geometry::Box& window,
                        const Look& look, Occupied& taken);
// Rings at the worst places, leaders to numbered discs in free land. With words the discs stand at
// the two sides with two lines each; a leader that would run over much of the artwork, as across a
// wordmark, goes to a bare number in the nearest free land instead. Without words all do.
void draw_callouts(Picture& picture, const std::vector<Callout>& places, const geometry::Box& art,
                   const geometry::Box& window, const Look& look, const SewnLand& land,
                   bool has_words, Occupied& taken);
// A numbered disc.
void draw_pin(Picture& picture, geometry::Point at, int number, const Look& look, double radius_px);
// Triangles at the measured gaps, as a surveyor's spot heights; then their figures, where there is
// room beside them.
void draw_readings(Picture& picture, const cap::Setup& setup, const geometry::Box& window,
                   const Look& look, Occupied& taken);
void draw_reading_figures(Picture& picture, const cap::Setup& setup, const geometry::Box& window,
                          const Look& look, Occupied& taken);
// Black and white bars every 5 mm, figures in mm below and left, inches above and right.
void draw_frame(Picture& picture, const geometry::Box& window, const Look& look,
                bool has_lowest_figure);
// How far the frame and its figures stand out of the window: left, top, right, bottom.
geometry::Box frame_extent(const geometry::Box& window, const Look& look);

}  // namespace buckram::report
