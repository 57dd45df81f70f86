#include "digitise/tacking.h"

#include "digitise/run.h"

#include <algorithm>
#include <cmath>

namespace buckram::digitise {
namespace {

using geometry::Point;
using geometry::Polygons;

constexpr double kAsideMm = 2.5;    // from the seam to either leg
constexpr double kHideMm = 1.2;     // inside what covers it: a lock's length
constexpr double kLeastHighMm = 8;  // a shorter loop holds nothing
constexpr double kStepMm = 0.5;
constexpr double kLoopWidthMm = 2;  // of the cloth that the loop may use: locks lie beside it

struct Span {
  double low = 0, high = 0;
  double height() const { return high - low; }
};

// The highest loop whose legs and crossings lie inside `cover`.
std::optional<Span> highest_loop(const Polygons& cover) {
  const geometry::Box box = geometry::bounds(cover);
  std::optional<Span> best;
  double low = NAN;  // the lowest crossing from which the legs have been covered without a break
  for (double y = box.y0; y <= box.y1; y += kStepMm) {
    const bool has_legs = geometry::inside({-kAsideMm, y}, {-kAsideMm, y + kStepMm}, cover) &&
                          geometry::inside({kAsideMm, y}, {kAsideMm, y + kStepMm}, cover);
    const bool can_cross = geometry::inside({-kAsideMm, y}, {kAsideMm, y}, cover);
    if (can_cross && !std::isnan(low) && (!best || y - low > best->height())) best = Span{low, y};
    if (can_cross && std::isnan(low)) low = y;
    if (!has_legs) low = NAN;
  }
  return best;
}

// The loop's places, evenly along the legs, from which it may begin.
geometry::Polyline loop(Span span) {
  const int n = std::max(1, static_cast<int>(std::ceil(span.height() / (2 * kAsideMm) - 1e-9)));
  geometry::Polyline path;
  for (int k = 0; k <= n; ++k) path.push_back({-kAsideMm, span.low + span.height() * k / n});
  for (int k = n; k >= 0; --k) path.push_back({kAsideMm, span.low + span.height() * k / n});
  return path;
}

Object tacked(Span span) {
  Run run{.path = loop(span), .closed = true, .passes = 1};
  run.stitch_mm = 2 * kAsideMm;
  run.layer = stitch::Layer::under;
  Object object;
  object.source = "tacking";
  object.outline = geometry::stroke_outline(run.path, kLoopWidthMm, true, geometry::Join::miter,
                                            geometry::Cap::butt);
  object.ways = run_ways(run);
  object.shape = std::move(run);
  return object;
}

// Penetrations on the straight way between two places, both left out.
geometry::Polyline straight_travel(Point from, Point to, double stitch_mm) {
  const int n = std::max(1, static_cast<int>(std::ceil(geometry::distance(from, to) / stitch_mm)));
  geometry::Polyline points;
  for (int k = 1; k < n; ++k) points.push_back(geometry::mix(from, to, double(k) / n));
  return points;
}

}  // namespace

std::optional<Tacking> tacking_run(const std::vector<Object>& objects, Point next,
                                   const Recipe& recipe) {
  if (!recipe.has_seam) return std::nullopt;
  std::vector<Polygons> outlines;
  for (const Object& object : objects) outlines.push_back(object.outline);
  const Polygons cover = geometry::unite(outlines);
  const auto span = highest_loop(geometry::offset(cover, -kHideMm));
  if (!span || span->height() < kLeastHighMm) return std::nullopt;
  Tacking tacking{tacked(*span), 0, std::nullopt};
  const auto way = std::min_element(
      tacking.object.ways.begin(), tacking.object.ways.end(), [&](const Way& a, const Way& b) {
        return geometry::distance(a.exit, next) < geometry::distance(b.exit, next);
      });
  tacking.way = static_cast<int>(way - tacking.object.ways.begin());
  if (geometry::inside(way->exit, next, cover))
    tacking.travel = straight_travel(way->exit, next, recipe.run_mm);
  return tacking;
}

}  // namespace buckram::digitise
