#include "digitise/run.h"

#include "base/base.h"
#include "digitise/lock.h"

#include <algorithm>
#include <cmath>

namespace buckram::digitise {
namespace {

using geometry::Point;
using geometry::Polyline;

constexpr double kCorner = 40 * base::kPi / 180;

// Indices of the points to keep whatever the stitch: ends, corners.
std::vector<std::size_t> corners(const Polyline& line) {
  std::vector<std::size_t> kept{0};
  for (std::size_t i = 1; i + 1 < line.size(); ++i) {
    const Point a = line[i] - line[i - 1], b = line[i + 1] - line[i];
    if (std::abs(std::atan2(geometry::cross(a, b), geometry::dot(a, b))) > kCorner)
      kept.push_back(i);
  }
  kept.push_back(line.size() - 1);
  return kept;
}

double deviation(const Polyline& line, std::size_t from, std::size_t to) {
  double worst = 0;
  const Point a = line[from], d = geometry::unit(line[to] - a);
  for (std::size_t i = from + 1; i < to; ++i) {
    worst = std::max(worst, std::abs(geometry::cross(d, line[i] - a)));
  }
  return worst;
}

// Splits [from, to] of a fine line until each chord is short enough and near enough.
int pieces_needed(const Polyline& line, double length_mm, double stitch_mm, double shortest_mm,
                  double deviation_mm) {
  const int most = std::max(1, static_cast<int>(length_mm / shortest_mm));
  int n = std::max(1, static_cast<int>(std::ceil(length_mm / stitch_mm - 1e-9)));
  const auto points = static_cast<double>(line.size() - 1);
  for (; n < most; ++n) {
    double worst = 0;
    for (int k = 0; k < n; ++k) {
      worst = std::max(worst, deviation(line, static_cast<std::size_t>(points * k / n),
                                        static_cast<std::size_t>(points * (k + 1) / n)));
    }
    if (worst <= deviation_mm) break;
  }
  return n;
}

void append_smooth(const Polyline& part, double stitch_mm, double shortest_mm, double deviation_mm,
                   Polyline& out) {
  const double length = geometry::length(part);
  if (length <= 0) return;
  const Polyline fine = geometry::resample(part, std::min(0.1, length / 2));
  const int n = pieces_needed(fine, length, stitch_mm, shortest_mm, deviation_mm);
  const Polyline points = geometry::resample_n(part, n + 1);
  out.insert(out.end(), points.begin() + 1, points.end());
}

Polyline path_from(const Run& run, const Way& way) {
  Polyline path = run.path;
  if (run.closed) {
    std::rotate(path.begin(), path.begin() + way.tag, path.end());
    path.push_back(path.front());
  } else if (way.tag == 1) {
    std::reverse(path.begin(), path.end());
  }
  return path;
}

// The way back over `out`, from its end to its start, going down between its holes.
Polyline between(const Polyline& out) {
  Polyline back{out.back()};
  for (std::size_t i = out.size() - 1; i > 0; --i)
    back.push_back(geometry::mix(out[i], out[i - 1], 0.5));
  back.push_back(out.front());
  return back;
}

// All points moved to the left of the way by so much.
Polyline moved_left(const Polyline& line, double by_mm) {
  Polyline moved;
  for (std::size_t i = 0; i < line.size(); ++i) {
    const Point before = line[i > 0 ? i - 1 : 0], after = line[std::min(i + 1, line.size() - 1)];
    moved.push_back(line[i] + geometry::left_of(geometry::unit(after - before)) * by_mm);
  }
  return moved;
}

// Half the passes' distance, so that of a ring the way out lies on the inside: the way back goes
// down between its holes, where its chords already lie further in.
double side_mm(const Run& run, const Polyline& path) {
  const bool is_clockwise = run.closed && geometry::area(geometry::Ring(path)) < 0;
  return (is_clockwise ? -0.5 : 0.5) * run.apart_mm;
}

Polyline stitches(const Run& run, const Way& way, const Recipe& recipe) {
  const Polyline path = path_from(run, way);
  const double longest_mm = run.stitch_mm > 0 ? run.stitch_mm : recipe.run_mm;
  const Polyline out = run_points(path, longest_mm, recipe.shortest_mm);
  if (run.passes < 2) return out;
  const double side = side_mm(run, path);
  Polyline points = moved_left(out, side);
  points.front() = path.front();
  if (run.closed) points.back() = path.front();
  for (const Point& p : moved_left(between(out), side)) {
    if (geometry::distance(points.back(), p) >= recipe.shortest_mm) points.push_back(p);
  }
  while (points.size() > 2 && geometry::distance(points.back(), path.front()) < recipe.shortest_mm)
    points.pop_back();
  points.push_back(path.front());
  return points;
}

}  // namespace

Polyline run_points(const Polyline& line, double stitch_mm, double shortest_mm,
                    double deviation_mm) {
  if (line.size() < 2) return line;
  Polyline out{line.front()};
  const auto kept = corners(line);
  for (std::size_t k = 0; k + 1 < kept.size(); ++k) {
    const Polyline part(line.begin() + static_cast<std::ptrdiff_t>(kept[k]),
                        line.begin() + static_cast<std::ptrdiff_t>(kept[k + 1]) + 1);
    append_smooth(part, stitch_mm, shortest_mm, deviation_mm, out);
  }
  // Corners nearer to each other than the shortest stitch: keep the later one.
  Polyline spaced{out.front()};
  for (std::size_t i = 1; i < out.size(); ++i) {
    const bool last = i + 1 == out.size();
    if (!last && geometry::distance(spaced.back(), out[i]) < shortest_mm) continue;
    if (last && spaced.size() > 1 && geometry::distance(spaced.back(), out[i]) < shortest_mm) {
      spaced.pop_back();
    }
    spaced.push_back(out[i]);
  }
  return spaced;
}

std::vector<Way> run_ways(const Run& run) {
  std::vector<Way> ways;
  if (run.closed) {
    const int n = static_cast<int>(run.path.size());
    const int places = std::min(n, 8);
    for (int k = 0; k < places; ++k) {
      const int at = k * n / places;
      ways.push_back({run.path[at], run.path[at], at});
    }
    return ways;
  }
  const bool returns = run.passes % 2 == 0;
  const Point a = run.path.front(), b = run.path.back();
  ways.push_back({a, returns ? a : b, 0});
  ways.push_back({b, returns ? b : a, 1});
  return ways;
}

std::vector<Piece> sew_run(const Run& run, const geometry::Polygons& outline, const Way& way,
                           const Recipe& recipe, const Ties& ties) {
  Polyline points = stitches(run, way, recipe);
  std::vector<Piece> pieces;
  if (points.size() < 2) return {{run.layer, points}};
  if (ties.in) {
    Polyline lock =
        lock_points(points.front(), points[1] - points.front(), recipe.lock_mm, outline);
    if (!lock.empty()) {
      pieces.push_back({stitch::Layer::lock, std::move(lock)});
      points.erase(points.begin());
    }
  }
  const Point end = points.back();
  const Point back = points.size() > 1 ? points[points.size() - 2] - end : way.entry - end;
  pieces.push_back({run.layer, points});
  if (ties.out) {
    Polyline lock = lock_points(end, back, recipe.lock_mm, outline);
    if (!lock.empty()) {
      lock.erase(lock.begin());
      pieces.push_back({stitch::Layer::lock, std::move(lock)});
    }
  }
  return pieces;
}

}  // namespace buckram::digitise
