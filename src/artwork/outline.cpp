#include "artwork/outline.h"

#include "base/base.h"

#include <cmath>

namespace buckram::artwork {

using geometry::Point;

double Viewport::diagonal() const {
  return std::sqrt((width * width + height * height) / 2);
}

geometry::Polyline flattened(const Subpath& subpath, double tolerance) {
  geometry::Polyline line = {subpath.start};
  for (const Step& step : subpath.steps) {
    const Point from = line.back();
    switch (step.kind) {
      case Step::Kind::line:
        line.push_back(step.end);
        break;
      case Step::Kind::quadratic:
        geometry::flatten_quadratic(from, step.a, step.end, tolerance, line);
        break;
      case Step::Kind::cubic:
        geometry::flatten_cubic(from, step.a, step.b, step.end, tolerance, line);
        break;
      case Step::Kind::arc:
        geometry::flatten_arc(
            from, {step.a.x, step.a.y, base::radians(step.b.x), step.large, step.sweep, step.end},
            tolerance, line);
        break;
    }
  }
  if (subpath.closed)
    while (line.size() > 1 && line.back() == line.front()) line.pop_back();
  return line;
}

namespace {

Point on_bezier(Point p0, Point p1, Point p2, Point p3, double t) {
  const Point a = mix(p0, p1, t), b = mix(p1, p2, t), c = mix(p2, p3, t);
  return mix(mix(a, b, t), mix(b, c, t), t);
}

void add_step(Point from, const Step& step, const geometry::Affine& map, geometry::Box& box) {
  box.add(map(step.end));
  if (step.kind == Step::Kind::line) return;
  if (step.kind == Step::Kind::arc) {
    geometry::Polyline line;
    const double size =
        std::max({std::abs(step.a.x), std::abs(step.a.y), distance(from, step.end)});
    if (!(size > 0)) return;
    geometry::flatten_arc(
        from, {step.a.x, step.a.y, base::radians(step.b.x), step.large, step.sweep, step.end},
        size / 100, line);
    for (const Point p : line) box.add(map(p));
    return;
  }
  const bool is_cubic = step.kind == Step::Kind::cubic;
  const Point c1 = is_cubic ? step.a : mix(from, step.a, 2.0 / 3);
  const Point c2 = is_cubic ? step.b : mix(step.end, step.a, 2.0 / 3);
  constexpr int kSamples = 8;
  for (int i = 1; i < kSamples; ++i)
    box.add(map(on_bezier(from, c1, c2, step.end, static_cast<double>(i) / kSamples)));
}

}  // namespace

geometry::Box rough_box(const Outline& outline, const geometry::Affine& map) {
  geometry::Box box;
  for (const Subpath& subpath : outline) {
    Point at = subpath.start;
    box.add(map(at));
    for (const Step& step : subpath.steps) {
      add_step(at, step, map, box);
      at = step.end;
    }
  }
  return box;
}

void append(const Outline& from, const geometry::Affine& map, Outline& to) {
  for (Subpath subpath : from) {
    subpath.start = map(subpath.start);
    for (Step& step : subpath.steps) {
      step.a = map(step.a);
      step.b = map(step.b);
      step.end = map(step.end);
    }
    to.push_back(std::move(subpath));
  }
}

}  // namespace buckram::artwork
