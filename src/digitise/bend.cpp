#include "digitise/bend.h"

#include "base/base.h"
#include "digitise/spine.h"

#include <algorithm>
#include <cmath>

namespace buckram::digitise {
namespace {

using geometry::Point;
using geometry::Polygon;
using geometry::Polygons;
using geometry::Polyline;
using geometry::Ring;

constexpr double kLeastStretch = 0.3, kMostStretch = 2.4;
constexpr double kOutlineStepMm = 0.3;  // outlines are carried over by points no farther apart
constexpr double kLeastStitchMm = 1.6;

Ring dense(const Ring& ring) {
  Ring out;
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const Point a = ring[i], b = ring[(i + 1) % ring.size()];
    const int n =
        std::max(1, static_cast<int>(std::ceil(geometry::distance(a, b) / kOutlineStepMm)));
    for (int k = 0; k < n; ++k) out.push_back(geometry::mix(a, b, double(k) / n));
  }
  return out;
}

template <class Visit>
void for_points(const Polygons& area, const Visit& visit) {
  for (const Polygon& polygon : area) {
    for (const Point p : polygon.outer) visit(p);
    for (const Ring& hole : polygon.holes) {
      for (const Point p : hole) visit(p);
    }
  }
}

// Carried on straight by `mm` at both ends.
Polyline carried_on(const Polyline& line, double mm) {
  Polyline out = line;
  out.front() = line.front() + geometry::unit(line[0] - line[1]) * mm;
  out.back() = line.back() + geometry::unit(line.back() - line[line.size() - 2]) * mm;
  out.insert(out.begin() + 1, line.front());
  out.insert(out.end() - 1, line.back());
  return out;
}

// Whether the map is one to one over the area and keeps lengths within bounds.
bool is_sound(const Bend& bend, const Polygons& area, const Polygons& flat) {
  bool is_kept = !flat.empty();
  for_points(flat, [&](Point q) {
    const double s = bend.stretch(q);
    is_kept = is_kept && s >= kLeastStretch && s <= kMostStretch &&
              geometry::norm(bend.apart(bend.to_flat(bend.to_cloth(q)), q)) < 0.05;
  });
  if (!is_kept || flat.size() != area.size()) return false;
  // Folded over itself the outline would enclose less once mended.
  Polygons back = flat;
  for (Polygon& polygon : back) {
    for (Point& p : polygon.outer) p = bend.to_cloth(p);
    for (Ring& hole : polygon.holes) {
      for (Point& p : hole) p = bend.to_cloth(p);
    }
  }
  const double was = geometry::area(area);
  return std::abs(geometry::area(back) - was) < 0.02 * was;
}

std::optional<Bend> bend_along(const Spine& spine, double smooth_mm, double beyond_mm) {
  Polyline line = geometry::smoothed(spine.line, smooth_mm, spine.closed);
  if (line.size() < 4) return std::nullopt;
  if (!spine.closed) line = carried_on(line, beyond_mm);
  // The corners of the coarse line are rounded off: rows would show them.
  line = geometry::smoothed(line, 4 * Bend::kStepMm, spine.closed);
  line = geometry::resample(line, Bend::kStepMm, spine.closed);
  if (line.size() < 4) return std::nullopt;
  return Bend(std::move(line), spine.closed);
}

}  // namespace

Bend::Bend(Polyline guide, bool closed) : guide_(std::move(guide)), closed_(closed) {
  BUCKRAM_ASSERT(guide_.size() >= 3);
  const std::size_t n = guide_.size();
  for (std::size_t i = 0; i < n; ++i) {
    const Point before = i > 0 ? guide_[i - 1] : closed ? guide_[n - 1] : guide_[0];
    const Point after = i + 1 < n ? guide_[i + 1] : closed ? guide_[0] : guide_[n - 1];
    along_.push_back(geometry::unit(after - before));
  }
  step_mm_ = geometry::distance(guide_[0], guide_[1]);
  length_mm_ = step_mm_ * static_cast<double>(closed ? n : n - 1);
}

// Points are equally far apart; between them place and direction change evenly.
Bend::Foot Bend::foot(double s) const {
  const std::size_t n = guide_.size(), last = closed_ ? n : n - 1;
  const double k = std::clamp(s / step_mm_, 0.0, static_cast<double>(last));
  const std::size_t i = std::min(static_cast<std::size_t>(k), last - 1), j = (i + 1) % n;
  const double t = s / step_mm_ - static_cast<double>(i);  // beyond the ends it goes on straight
  const double u = std::clamp(t, 0.0, 1.0);
  const Point along = geometry::unit(geometry::mix(along_[i], along_[j], u));
  const double turn =
      std::atan2(geometry::cross(along_[i], along_[j]), geometry::dot(along_[i], along_[j]));
  return {geometry::mix(guide_[i], guide_[j], t), along, turn / step_mm_};
}

double Bend::nearest(Point p) const {
  std::size_t best = 0;
  double best_mm = 1e300;
  for (std::size_t i = 0; i < guide_.size(); ++i) {
    const double mm = geometry::distance(p, guide_[i]);
    if (mm < best_mm) best_mm = mm, best = i;
  }
  return static_cast<double>(best) * step_mm_;
}

Point Bend::to_flat(Point p) const {
  double s = nearest(p);
  for (int round = 0; round < 30; ++round) {
    const Foot f = foot(s);
    const Point off = p - f.at;
    const double d = geometry::dot(off, geometry::left_of(f.along));
    const double step = geometry::dot(off, f.along) / std::max(0.3, 1 - f.bend * d);
    s += std::clamp(step, -2 * step_mm_, 2 * step_mm_);
    if (closed_) s -= std::floor(s / length_mm_) * length_mm_;
    if (std::abs(step) < 1e-7) break;
  }
  const Foot f = foot(s);
  return {s, geometry::dot(p - f.at, geometry::left_of(f.along))};
}

Point Bend::to_cloth(Point flat) const {
  const Foot f = foot(flat.x);
  return f.at + geometry::left_of(f.along) * flat.y;
}

Point Bend::apart(Point a, Point b) const {
  Point d = a - b;
  if (closed_) d.x = std::remainder(d.x, length_mm_);
  return d;
}

double Bend::stretch(Point flat) const {
  return 1 - foot(flat.x).bend * flat.y;
}

constexpr double kHairMm = 0.02;

// Takes a hair's breadth out across the ring where the guide begins.
Polygons Bend::cut_open(const Polygons& ring) const {
  const Point across = geometry::left_of(along_[0]), half = along_[0] * (kHairMm / 2);
  const geometry::Box box = geometry::bounds(ring);
  const Point reach = across * std::hypot(box.width(), box.height());
  // Inward up to the ring's middle, outward all the way.
  const double radius = length_mm_ / (2 * base::kPi);
  const Point in = across * std::min(radius, geometry::norm(reach)) * 0.9;
  const bool left_is_in = geometry::area(guide_) > 0;  // anticlockwise
  const Point a = guide_[0] + (left_is_in ? in : reach), b = guide_[0] - (left_is_in ? reach : in);
  Ring slit{a - half, b - half, b + half, a + half};
  if (geometry::area(slit) < 0) std::reverse(slit.begin(), slit.end());
  return geometry::subtract(ring, {{slit, {}}});
}

Polygons Bend::flattened(const Polygons& on_cloth) const {
  Polygons flat;
  for (const Polygon& polygon : closed_ ? cut_open(on_cloth) : on_cloth) {
    Polygon out;
    const auto carry = [&](const Ring& ring, Point from) {
      Ring line;
      for (const Point p : dense(ring)) {
        const Point before = line.empty() ? from : line.back();
        line.push_back(before + apart(to_flat(p), before));
      }
      return line;
    };
    out.outer = carry(polygon.outer, {length_mm_ / 2, 0});
    const Point middle = geometry::bounds(out.outer).middle();
    for (const Ring& hole : polygon.holes) out.holes.push_back(carry(hole, middle));
    flat.push_back(std::move(out));
  }
  return flat;
}

Polygons Bend::for_rows(const Polygons& on_cloth) const {
  const Polygons flat = flattened(on_cloth);
  if (!closed_) return flat;
  constexpr double kLapMm = 0.6;
  const geometry::Box box = geometry::bounds(flat);
  const Ring begin{{box.x0 - 1, box.y0 - 1},
                   {box.x0 + kLapMm, box.y0 - 1},
                   {box.x0 + kLapMm, box.y1 + 1},
                   {box.x0 - 1, box.y1 + 1}};
  Polygons lap = geometry::intersect(flat, {{begin, {}}});
  const Point round{length_mm_ - 3 * kHairMm, 0};  // well into what it is joined to
  for (Polygon& polygon : lap) {
    for (Point& p : polygon.outer) p = p + round;
    for (Ring& hole : polygon.holes) {
      for (Point& p : hole) p = p + round;
    }
  }
  return geometry::unite(flat, lap);
}

std::optional<Bend> bend_of(const Polygons& area) {
  if (area.size() != 1) return std::nullopt;
  const StripAxis axis = strip_axis(area.front());
  if (!axis.spine || axis.spine->line.size() < 4) return std::nullopt;
  const geometry::Box box = geometry::bounds(area);
  // A guide too sharp for the shape's width is smoothed further.
  constexpr double kMoreSmooth = 1.4;
  double smooth_mm = std::max(1.0, axis.typical_mm / 3);
  for (; smooth_mm < box.width() + box.height(); smooth_mm *= kMoreSmooth) {
    auto bend = bend_along(*axis.spine, smooth_mm, box.width() + box.height());
    if (bend && is_sound(*bend, area, bend->flattened(area))) return bend;
  }
  return std::nullopt;
}

Recipe flat_recipe(const Bend& bend, const Polygons& flat, Recipe recipe) {
  double least = 1, most = 1, sharpest = 0;
  for_points(flat, [&](Point q) {
    const double stretch = bend.stretch(q);
    least = std::min(least, stretch), most = std::max(most, stretch);
    if (q.y != 0) sharpest = std::max(sharpest, std::abs((1 - stretch) / q.y) / stretch);
  });
  // A chord of length c leaves a circle of radius r by c^2 / 8 r.
  const double off_mm = 0.1 * recipe.row_mm;
  if (sharpest > 0) {
    recipe.fill_stitch_mm =
        std::clamp(std::sqrt(8 * off_mm / sharpest),
                   std::min(kLeastStitchMm, recipe.fill_stitch_mm), recipe.fill_stitch_mm);
  }
  recipe.fill_stitch_mm /= most;
  recipe.run_mm /= most;
  recipe.under_stitch_mm /= most;
  recipe.shortest_mm = std::min(recipe.shortest_mm / least, recipe.fill_stitch_mm / 2);
  return recipe;
}

}  // namespace buckram::digitise
