#include "digitise/column.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace buckram::digitise {
namespace {

// Short stitches stop this far in and twice as far: enough to keep clear of the rail's holes. A
// third and two thirds of a wide column would part the threads along its rail.
constexpr double kDrawnInMm = 0.4;
constexpr double kLeastStepMm = 0.15;  // less keeps no hole clear
constexpr double kLeastRungMm = 0.6;   // where a column runs thin: its thread is 1 mm wide
// Rungs shorter than the shortest stitch are drawn out to it, by so much at most: thread no more
// than 0.25 mm past a stroke of half a millimetre.
constexpr double kThickenMm = 0.3;
constexpr double kTipShare = 0.7;      // of the column's usual width: narrower near an end is a tip
constexpr double kRoundingMm = 0.005;  // holes are written to a thousandth
constexpr double kTipMm = 0.3;         // at the tip of a point
constexpr double kMostLean = 0.96;     // 55 degrees; a longer end is a point

using geometry::Point;
using geometry::Polygon;
using geometry::Polyline;

// Rails where the spine's normals meet the outline; one rung for every point of the spine.
struct Rails {
  std::vector<Point> left, right;
  Polyline spine;
  std::vector<Point> along;  // unit tangents
  bool closed = false;
};

Point tangent(const Spine& spine, int i, int reach) {
  const int n = static_cast<int>(spine.line.size());
  const auto at = [&](int k) {
    return spine.line[spine.closed ? (k % n + n) % n : std::clamp(k, 0, n - 1)];
  };
  return geometry::unit(at(i + reach) - at(i - reach));
}

// The stretch of the line p + t d inside the cell that holds p, or the one nearest to it.
geometry::Span stretch(const Polygon& cell, Point p, Point d) {
  const auto ts = crossings(cell, p, d);
  geometry::Span best{0, 0};
  double best_miss = INFINITY;
  for (std::size_t i = 0; i + 1 < ts.size(); i += 2) {
    const double miss = std::max({0.0, ts[i], -ts[i + 1]});
    if (miss < best_miss) best_miss = miss, best = {ts[i], ts[i + 1]};
  }
  return best;
}

bool is_crossed(const Rails& rails, std::size_t i, std::size_t j) {
  const Point a = rails.left[i], b = rails.right[i], c = rails.left[j], d = rails.right[j];
  const auto side = [](Point p, Point q, Point r) { return geometry::cross(q - p, r - p); };
  return side(a, b, c) * side(a, b, d) < 0 && side(c, d, a) * side(c, d, b) < 0;
}

// Where a rung would cross the one before, the end that falls behind stays where that one stands.
void unfold(Rails& rails) {
  for (std::size_t i = 1; i < rails.left.size(); ++i) {
    if (!is_crossed(rails, i - 1, i)) continue;
    const double left = geometry::dot(rails.left[i] - rails.left[i - 1], rails.along[i]);
    const double right = geometry::dot(rails.right[i] - rails.right[i - 1], rails.along[i]);
    if (left < right)
      rails.left[i] = rails.left[i - 1];
    else
      rails.right[i] = rails.right[i - 1];
  }
}

// How far the end's edge leans against the square end: rotating the rung's direction (left of d) by
// this makes it parallel to that edge. 0 for ends that are not one straight edge.
double end_lean(const Polygon& cell, Point end, Point d, double width_mm) {
  const Point n = geometry::left_of(d);
  const Point base = end - d * (0.8 * width_mm);
  const auto here = stretch(cell, base, n);
  if (here.to - here.from < 0.2) return 0;
  std::array<Point, 3> hits;
  for (int k = 0; k < 3; ++k) {
    const Point from = base + n * (here.from + (here.to - here.from) * (0.15 + 0.35 * k));
    const auto out = stretch(cell, from, d);
    if (out.from > 1e-6 || out.to > 3 * width_mm) return 0;
    hits[k] = from + d * out.to;
  }
  const Point edge = hits[2] - hits[0];
  const double off = std::abs(geometry::cross(geometry::unit(edge), hits[1] - hits[0]));
  if (off > 0.06 * (here.to - here.from)) return 0;
  const double lean = std::atan2(geometry::cross(n, edge), geometry::dot(n, edge));
  return std::abs(lean) < kMostLean ? lean : 0;
}

Point turned(Point d, double angle) {
  const double c = std::cos(angle), s = std::sin(angle);
  return {d.x * c - d.y * s, d.x * s + d.y * c};
}

// Lean of the rung at every point of an open spine: that of an end's edge, fading to none over the
// length in which the shorter side's rungs close up by no more than a third.
std::vector<double> leans(const Polygon& cell, const Spine& spine, const std::vector<Point>& along,
                          double width_mm) {
  const std::size_t n = spine.line.size();
  std::vector<double> lean(n, 0.0);
  if (spine.closed || n < 3) return lean;
  const double last = end_lean(cell, spine.line.back(), along.back(), width_mm);
  const double first = end_lean(cell, spine.line.front(), along.front() * -1, width_mm);
  const double total = static_cast<double>(n - 1) * kSpineStepMm;
  const auto fade = [&](double from_end_mm, double angle) {
    if (angle == 0) return 0.0;
    const double over =
        std::min(total, std::max(width_mm, 1.5 * width_mm * std::abs(std::tan(angle))));
    const double t = std::clamp(1 - from_end_mm / over, 0.0, 1.0);
    return angle * t * t * (3 - 2 * t);
  };
  for (std::size_t i = 0; i < n; ++i) {
    const double s = static_cast<double>(i) * kSpineStepMm;
    lean[i] = fade(s, first) + fade(total - s, last);
  }
  return lean;
}

Rails cast_rails(const Polygon& cell, const Spine& spine, double width_mm) {
  Rails rails{.left = {}, .right = {}, .spine = spine.line, .along = {}, .closed = spine.closed};
  const int n = static_cast<int>(spine.line.size());
  const int reach = std::max(1, static_cast<int>(0.25 * width_mm / kSpineStepMm));
  for (int i = 0; i < n; ++i) rails.along.push_back(tangent(spine, i, reach));
  const auto lean = leans(cell, spine, rails.along, width_mm);
  for (int i = 0; i < n; ++i) {
    const Point d = rails.along[i];
    const Point side = turned(geometry::left_of(d), lean[i]);
    Point p = spine.line[i];
    // The very ends lie on the outline, where a crossing line may only touch.
    if (!spine.closed && i == 0) p = p + d * 0.02;
    if (!spine.closed && i == n - 1) p = p - d * 0.02;
    const auto across = stretch(cell, p, side);
    rails.left.push_back(p + side * across.to);
    rails.right.push_back(p + side * across.from);
  }
  unfold(rails);
  return rails;
}

double covered_area(const Rails& rails) {
  const std::size_t n = rails.left.size();
  double sum = 0;
  for (std::size_t i = 0; i + (rails.closed ? 0 : 1) < n; ++i) {
    const std::size_t j = (i + 1) % n;
    const Point a = rails.right[i], b = rails.right[j], c = rails.left[j], d = rails.left[i];
    sum += (geometry::cross(b - a, c - a) + geometry::cross(c - a, d - a)) / 2;
  }
  return sum;
}

// How far the column has come at every point of the spine, in units that pass equally fast for the
// thread: the spine's length, or the outer rail's where that opens more than kFan times.
std::vector<double> progress(const Rails& rails) {
  const std::size_t n = rails.spine.size();
  std::vector<double> sum{0};
  for (std::size_t i = 0; i + (rails.closed ? 0 : 1) < n; ++i) {
    const std::size_t j = (i + 1) % n;
    const Point along = geometry::unit(rails.along[i] + rails.along[j]);
    const double spine = geometry::distance(rails.spine[i], rails.spine[j]);
    const double left = geometry::dot(rails.left[j] - rails.left[i], along);
    const double right = geometry::dot(rails.right[j] - rails.right[i], along);
    sum.push_back(sum.back() + std::max({spine, left / kFan, right / kFan}));
  }
  return sum;
}

// Rungs at equal steps of progress, the ends held in by `inset_mm` where the column is open.
std::vector<Rung> place_rungs(const Rails& rails, double pitch_mm, double inset_mm) {
  const auto sum = progress(rails);
  const double total = sum.back();
  const double inset = rails.closed ? 0 : std::min(inset_mm, 0.3 * total);
  const double span = total - 2 * inset;
  // Open columns are sewn from both ends of every other rung, closed ones from one end of each.
  const int pairs = static_cast<int>(std::lround(span / (2 * pitch_mm)));
  const int n = rails.closed ? std::max(4, 2 * pairs) : std::max(3, 2 * pairs + 1);
  std::vector<Rung> rungs;
  std::size_t i = 0;
  const std::size_t count = rails.spine.size();
  for (int k = 0; k < n; ++k) {
    const double at = inset + span * k / (rails.closed ? n : n - 1);
    while (i + 2 < sum.size() && sum[i + 1] < at) ++i;
    const double step = sum[i + 1] - sum[i];
    const double t = step > 0 ? std::clamp((at - sum[i]) / step, 0.0, 1.0) : 0;
    const std::size_t j = (i + 1) % count;
    rungs.push_back({geometry::mix(rails.left[i], rails.left[j], t),
                     geometry::mix(rails.right[i], rails.right[j], t)});
  }
  return rungs;
}

// How much further out a rail goes where its holes stand `ratio` times the pitch apart: half
// circles of diameter w at that distance leave w (1/2 - pi / (8 ratio)) bare on average.
double fan_out(double ratio, double thread_mm) {
  return base::kPi / 8 * thread_mm * (1 - 1 / std::clamp(ratio, 1.0, kFan));
}

std::vector<Rung> fanned_out(const std::vector<Rung>& rungs, const Recipe& recipe) {
  std::vector<Rung> out = rungs;
  for (std::size_t i = 1; i + 1 < rungs.size(); ++i) {
    const Rung &a = rungs[i - 1], &b = rungs[i + 1];
    const Point across = geometry::unit(rungs[i].left - rungs[i].right);
    const auto by = [&](Point p, Point q) {
      return across * fan_out(geometry::distance(p, q) / recipe.column_mm, recipe.thread_mm);
    };
    out[i].left = out[i].left + by(a.left, b.left);
    out[i].right = out[i].right - by(a.right, b.right);
  }
  return out;
}

// Moves both ends of the rung outwards by `out_mm`, keeping at least `least_mm` between them.
void widen(Rung& rung, double out_mm, double least_mm, Point across_when_empty) {
  Point d = geometry::unit(rung.left - rung.right);
  if (d == Point{}) d = across_when_empty;
  const double width = geometry::distance(rung.left, rung.right) + 2 * out_mm;
  const Point middle = geometry::mix(rung.left, rung.right, 0.5);
  const double half = std::max(width, least_mm) / 2;
  rung = {middle + d * half, middle - d * half};
}

double median_width(const std::vector<Rung>& rungs) {
  std::vector<double> widths;
  for (const auto& rung : rungs) widths.push_back(geometry::distance(rung.left, rung.right));
  const auto middle = widths.begin() + static_cast<std::ptrdiff_t>(widths.size() / 2);
  std::nth_element(widths.begin(), middle, widths.end());
  return *middle;
}

// How far in a hole may stop on a rung so wide, a step: a third of it at most, and no further than
// leaves a stitch of the shortest length.
double drawn_step(double width_mm, const Recipe& recipe) {
  const double step =
      std::min({width_mm / 3, kDrawnInMm, width_mm - recipe.shortest_mm - kRoundingMm});
  return step < kLeastStepMm ? 0 : step;
}

// Penetrations of one rail that would come nearer than the inner gap to one before are drawn in by
// the first of several depths that keeps clear: a step and two in turn, further in where a tight
// turn crowds those too, never beyond two thirds nor so far that the stitch gets too short.
// `first` and `stride`: the rungs that are sewn on this rail.
void shorten_inside(std::vector<Rung>& rungs, bool left, std::size_t first, std::size_t stride,
                    const Recipe& recipe) {
  constexpr std::size_t kLookBack = 10;
  constexpr int kDepths = 6;  // in steps, the rail's own included
  std::vector<Point> placed;
  for (std::size_t i = first; i < rungs.size(); i += stride) {
    Point& end = left ? rungs[i].left : rungs[i].right;
    const Point other = left ? rungs[i].right : rungs[i].left;
    const double width = geometry::distance(end, other);
    const double step = drawn_step(width, recipe);
    const double deepest =
        std::min(2.0 / 3 * width, width - recipe.shortest_mm - kRoundingMm) + 1e-9;
    Point best = end;
    double best_mm = -1;
    for (int k = 0; k < kDepths; ++k) {
      if (k > 0 && (step == 0 || k * step > deepest)) break;
      const Point p = k == 0 ? end : geometry::mix(end, other, k * step / width);
      double clear = INFINITY;
      for (std::size_t back = placed.size(); back > 0 && placed.size() - back < kLookBack; --back)
        clear = std::min(clear, geometry::distance(placed[back - 1], p));
      if (clear > best_mm) best_mm = clear, best = p;
      if (clear >= recipe.inner_gap_mm) break;
    }
    end = best;
    placed.push_back(end);
  }
}

}  // namespace

ColumnFit fit_column(const Polygon& cell, const Spine& spine, const Recipe& recipe) {
  ColumnFit fit;
  const double area = geometry::area(cell);
  const double width = area / std::max(kSpineStepMm, geometry::length(spine.line));
  const Rails rails = cast_rails(cell, spine, std::min(width, recipe.column_to_mm));
  const double share = area > 0 ? covered_area(rails) / area : 0;
  fit.covered = std::min(share, 2 - share);

  const double inset = (0.5 - kScallop) * recipe.thread_mm;
  const double out = recipe.compensation_mm - inset;
  auto rungs = place_rungs(rails, recipe.column_mm / 2, inset);
  const double typical = median_width(rungs) + 2 * out;
  rungs = fanned_out(rungs, recipe);
  fit.thickened = typical < recipe.shortest_mm - 1e-9;
  const double enough = recipe.shortest_mm + kRoundingMm;
  for (std::size_t i = 0; i < rungs.size(); ++i) {
    const std::size_t at = std::min(rails.along.size() - 1, i * rails.along.size() / rungs.size());
    const double from_end = spine.closed ? INFINITY
                                         : static_cast<double>(std::min(i, rungs.size() - 1 - i)) *
                                               recipe.column_mm / 2;
    const double bare = geometry::distance(rungs[i].left, rungs[i].right) + 2 * out;
    const double thickened = std::clamp(bare + kThickenMm, kLeastRungMm, enough);
    const bool is_tip = bare < kTipShare * typical;
    const double floor = is_tip ? std::min(thickened, kTipMm + 0.4 * from_end) : thickened;
    fit.widened = fit.widened || bare < floor - 0.05;
    widen(rungs[i], out, floor, geometry::left_of(rails.along[at]));
  }
  for (const auto& rung : rungs) {
    fit.column.width_mm = std::max(fit.column.width_mm, geometry::distance(rung.left, rung.right));
  }
  shorten_inside(rungs, true, 0, 2, recipe);
  shorten_inside(rungs, false, spine.closed ? 1 : 0, 2, recipe);
  fit.column.rungs = std::move(rungs);
  fit.column.closed = spine.closed;
  return fit;
}

geometry::Polygons ribbon(const Column& column, double grown_mm) {
  std::vector<geometry::Ring> quads;
  const std::size_t n = column.rungs.size();
  for (std::size_t i = 0; i + (column.closed ? 0 : 1) < n; ++i) {
    const Rung& a = column.rungs[i];
    const Rung& b = column.rungs[(i + 1) % n];
    for (geometry::Ring ring :
         {geometry::Ring{a.left, a.right, b.right}, geometry::Ring{a.left, b.right, b.left}}) {
      if (geometry::area(ring) < 0) std::reverse(ring.begin(), ring.end());
      quads.push_back(std::move(ring));
    }
  }
  return geometry::offset(geometry::unite(quads, geometry::FillRule::nonzero), grown_mm);
}

}  // namespace buckram::digitise
