#include "job/placement.h"

#include <algorithm>
#include <functional>
#include <limits>

namespace buckram::job {
namespace {

// Area outside the reach that rounding of outlines may leave.
constexpr double kRoundingMm2 = 0.01;

double asked_scale(const Job& job, const geometry::Box& painted) {
  double scale = std::numeric_limits<double>::infinity();
  if (job.height_mm && painted.height() > 0) scale = *job.height_mm / painted.height();
  if (job.width_mm && painted.width() > 0) {
    scale = std::min(scale, *job.width_mm / painted.width());
  }
  return scale;
}

geometry::Point middle_above(const geometry::Box& painted, double scale, double x_mm,
                             double low_edge_mm) {
  return {x_mm, low_edge_mm + painted.height() * scale / 2};
}

geometry::Polygons placed_shape(const Front& front, const artwork::Drawing& drawing,
                                const geometry::Polygons& shape, double scale,
                                geometry::Point middle) {
  const geometry::Affine map = artwork::placement_matrix(drawing, {middle, scale});
  return geometry::offset(geometry::transformed(shape, map), front.margin_mm);
}

// The same fit with what stands in its way named.
Fit told(const Front& front, const artwork::Drawing& drawing, const geometry::Polygons& shape,
         Fit fit) {
  if (fit.fits) return fit;
  fit.obstacle =
      cap::obstacle(front.setup, placed_shape(front, drawing, shape, fit.scale, fit.middle));
  return fit;
}

}  // namespace

double margin_mm(const digitise::Recipe& recipe) {
  return recipe.compensation_mm + recipe.thread_mm / 2;
}

geometry::Polygons silhouette(const artwork::Drawing& drawing) {
  // User units may be metres or microns; booleans want something near millimetres.
  const double size = std::max({drawing.painted.width(), drawing.painted.height(), 1e-12});
  const double k = 100 / size;
  const geometry::Affine to_mm{k, 0, 0, k, 0, 0};
  std::vector<geometry::Polygons> all;
  for (const artwork::Shape& shape : drawing.shapes) {
    all.push_back(geometry::transformed(shape.area, to_mm));
  }
  // Grown by what thinning may cut off, so that nothing of the artwork lies outside: a thin bar
  // must not vanish here and be sewn past the field. A thousandth of the size is lost to it.
  constexpr double kThinning = 0.1;
  const geometry::Polygons grown =
      geometry::offset(geometry::unite(all), kThinning, geometry::Join::miter);
  return geometry::transformed(geometry::simplify(grown, kThinning), geometry::inverse(to_mm));
}

void place_at(const geometry::Box& painted, const Fit& fit, Job& job) {
  constexpr double kLineMm = 1;  // lower than this, the width says more, and is what a job takes
  job.at_mm = fit.middle;
  job.height_mm.reset();
  job.width_mm.reset();
  const double height_mm = painted.height() * fit.scale;
  if (height_mm >= kLineMm) {
    job.height_mm = height_mm;
  } else {
    job.width_mm = painted.width() * fit.scale;
  }
}

Front front_of(const cap::Setup& setup, double margin) {
  return {setup, cap::reach(setup), margin};
}

Fit try_fit(const Front& front, const artwork::Drawing& drawing, const geometry::Polygons& shape,
            double scale, geometry::Point middle) {
  const geometry::Polygons placed = placed_shape(front, drawing, shape, scale, middle);
  const geometry::Polygons outside = geometry::subtract(placed, front.reach);
  return {geometry::area(outside) <= kRoundingMm2, scale, middle, ""};
}

namespace {

// The largest scale up to `most` whose fit, as `at` makes it, fits; empty when not even a
// twentieth.
std::optional<Fit> largest(const std::function<Fit(double)>& at, double most) {
  Fit best = at(most);
  if (best.fits) return best;
  double low = most / 20, high = most;
  best = at(low);
  if (!best.fits) return std::nullopt;
  while (high - low > most / 500) {
    const Fit fit = at((low + high) / 2);
    (fit.fits ? low : high) = fit.scale;
    if (fit.fits) best = fit;
  }
  return best;
}

}  // namespace

std::optional<Fit> largest_fit(const Front& front, const artwork::Drawing& drawing,
                               const geometry::Polygons& shape, double x_mm, double low_edge_mm,
                               double most) {
  const auto at = [&](double scale) {
    return try_fit(front, drawing, shape, scale,
                   middle_above(drawing.painted, scale, x_mm, low_edge_mm));
  };
  return largest(at, most);
}

Fit place(const Job& job, const cap::Setup& setup, const digitise::Recipe& recipe,
          const artwork::Drawing& drawing, const geometry::Polygons& shape) {
  const Front front = front_of(setup, margin_mm(recipe));
  const double x = job.at_mm ? job.at_mm->x : 0;
  const bool sized = job.height_mm || job.width_mm;
  const geometry::Box& painted = drawing.painted;
  if (sized) {
    const double scale = asked_scale(job, painted);
    const geometry::Point middle =
        job.at_mm ? *job.at_mm : middle_above(painted, scale, x, kDefaultLowEdgeMm);
    return told(front, drawing, shape, try_fit(front, drawing, shape, scale, middle));
  }
  // Wide artwork is bounded by the front's width long before it is 50 mm tall.
  const double most = std::min(kDefaultTallestMm / std::max(painted.height(), 1e-9),
                               240 / std::max(painted.width(), 1e-9));
  if (!job.at_mm) {
    if (const auto fit = largest_fit(front, drawing, shape, x, kDefaultLowEdgeMm, most)) {
      return *fit;
    }
    const geometry::Point middle = middle_above(painted, most, x, kDefaultLowEdgeMm);
    return told(front, drawing, shape, try_fit(front, drawing, shape, most, middle));
  }
  const auto there = [&](double scale) {
    return try_fit(front, drawing, shape, scale, *job.at_mm);
  };
  if (const auto fit = largest(there, most)) return *fit;
  return told(front, drawing, shape, try_fit(front, drawing, shape, most, *job.at_mm));
}

}  // namespace buckram::job
