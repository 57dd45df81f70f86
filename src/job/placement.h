// Where the artwork comes to lie on the front, and how large.
#pragma once

#include "job/job.h"

#include <optional>
#include <string>

namespace buckram::job {

// What reaches beyond the artwork when it is sewn: compensation and half a thread.
double margin_mm(const digitise::Recipe& recipe);

// Everything the drawing paints, in user units, thinned for tests of fit. Covers the artwork and at
// most two thousandths of its size more.
geometry::Polygons silhouette(const artwork::Drawing& drawing);

struct Fit {
  bool fits = false;
  double scale = 1;        // mm per user unit
  geometry::Point middle;  // of the painted box on the chart
  std::string obstacle;    // place(): what stands in the way, in words; empty when it fits
};

// Lower edge of a default placement, mm above the bill seam, and its tallest.
inline constexpr double kDefaultLowEdgeMm = 16;
inline constexpr double kDefaultTallestMm = 50;

// As asked by height, width and place; what is not asked takes the default: x = 0, lower edge 16 mm
// above the bill seam, the largest height up to 50 mm that fits.
Fit place(const Job& job, const cap::Setup& setup, const digitise::Recipe& recipe,
          const artwork::Drawing& drawing, const geometry::Polygons& shape);

// `job` with exactly that size and place: by its height, or by its width where that is a line's.
void place_at(const geometry::Box& painted, const Fit& fit, Job& job);

// One front to try places on: its reach is found once.
struct Front {
  const cap::Setup& setup;
  geometry::Polygons reach;
  double margin_mm = 0;  // see margin_mm()
};
Front front_of(const cap::Setup& setup, double margin_mm);

// The largest scale up to `most` at which the shape fits with its lower edge and centre line kept
// (middle of the box moves up with size), or empty when not even a twentieth fits.
std::optional<Fit> largest_fit(const Front& front, const artwork::Drawing& drawing,
                               const geometry::Polygons& shape, double x_mm, double low_edge_mm,
                               double most);

// Whether it fits as placed; does not name the obstacle.
Fit try_fit(const Front& front, const artwork::Drawing& drawing, const geometry::Polygons& shape,
            double scale, geometry::Point middle);

}  // namespace buckram::job
