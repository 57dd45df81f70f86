#include "report/cap_view.h"
#include "report/threads.h"

#include "base/base.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace buckram::report {
namespace {

using geometry::Point;

constexpr std::array<double, 4> kWeights_mm{0.12, 0.22, 0.42, 0.68};  // lit to shaded

// Light from the upper left, a little from the front.
double lit(Vec3 in_view) {
  return dot(in_view, unit({-0.62, 0.62, 0.45}));
}

void engrave_parallels(Picture& picture, const CapView& view) {
  constexpr double kApart_mm = 3.2;
  constexpr int kSteps = 240;
  std::array<Path, 4> weights;
  for (double y = kApart_mm; y < view.top() - 2; y += kApart_mm) {
    int last = -1;
    for (int k = 0; k < kSteps; ++k) {
      const double a = -base::kPi + 2 * base::kPi * k / kSteps, b = a + 2 * base::kPi / kSteps;
      const Vec3 n = view.in_view(view.normal((a + b) / 2, y));
      const double light = lit(n);
      const int weight = n.z < 0.02     ? -1
                         : light > 0.72 ? 0
                         : light > 0.45 ? 1
                         : light > 0.12 ? 2
                                        : 3;
      if (weight >= 0) {
        Path& path = weights[static_cast<std::size_t>(weight)];
        if (weight != last) path.move(view.seen(view.crown(a, y)));
        path.line(view.seen(view.crown(b, y)));
      }
      last = weight;
    }
  }
  for (std::size_t k = 0; k < weights.size(); ++k) {
    Pen pen{kInk, kWeights_mm[k], {}, k > 0};
    if (k == 0) pen.dash = {0.9, 0.7};
    picture.stroke(std::move(weights[k]), std::move(pen));
  }
}

void engrave_seams(Picture& picture, const CapView& view, const cap::Cap& cap) {
  for (const double a : seam_angles(cap)) {
    const bool is_front = a == 0;
    Path path;
    bool is_open = false;
    for (int k = 0; k <= 90; ++k) {
      const double y = view.top() * k / 90;
      if (view.in_view(view.normal(a, std::min(y, view.top() - 1))).z < 0) {
        is_open = false;
        continue;
      }
      const Point p = view.seen(view.crown(a, y));
      if (is_open)
        path.line(p);
      else
        path.move(p);
      is_open = true;
    }
    if (!path.empty())
      picture.stroke(std::move(path),
                     is_front ? Pen{kInk, 0.9, {}, true} : Pen{kInk, 0.5, {2, 1}, false});
  }
}

void engrave_eyelets(Picture& picture, const CapView& view, const cap::Cap& cap, Colour paper) {
  constexpr double kHole_mm = 2.4;
  const double y0 = eyelet_arc_mm(cap);
  for (const double a0 : eyelet_angles(cap, view.profile())) {
    if (view.in_view(view.normal(a0, y0)).z < 0.1) continue;
    Path ring;
    geometry::Polyline points;
    for (int k = 0; k < 20; ++k) {
      const double t = 2 * base::kPi * k / 20, y = y0 + kHole_mm * std::sin(t);
      points.push_back(
          view.seen(view.crown(a0 + kHole_mm * std::cos(t) / view.profile().radius(y0), y)));
    }
    ring.add(points, true);
    picture.draw(std::move(ring), paper, {kInk, 0.7, {}, true});
  }
}

void engrave_bill(Picture& picture, const CapView& view, Colour paper) {
  const auto row = [&](double out, double margin) {
    geometry::Polyline points;
    for (int k = 0; k <= 60; ++k) {
      const double t = -1 + 2.0 * k / 60;
      if (std::abs(t) <= 1 - margin) points.push_back(view.seen(view.bill(t, out)));
    }
    return points;
  };
  geometry::Polyline outline = row(0, 0);
  const geometry::Polyline edge = row(1, 0);
  outline.insert(outline.end(), edge.rbegin(), edge.rend());
  Path body;
  body.add(outline, true);
  picture.fill(std::move(body), paper);
  Path stitched;
  for (int k = 1; k < 8; ++k) stitched.add(row(k / 8.0, 0.06), false);
  picture.stroke(std::move(stitched), {kInk, 0.3, {1.6, 1.1}, false});
  Path rim;
  rim.add(edge, false);
  picture.stroke(std::move(rim), {kInk, 1.15, {}, true});
}

// The stitches as they lie on the crown; what faces away is left out.
void lay_stitches(Picture& picture, const CapView& view, const stitch::Plan& plan) {
  for (const stitch::Block& block : plan.blocks) {
    Path path;
    bool is_open = false;
    for (int i = block.first; i < block.first + block.count; ++i) {
      const Point p = plan.at(i);
      const double r = std::max(1.0, view.profile().radius(p.y));
      if (!stitch::has_thread(plan, i) || view.in_view(view.normal(p.x / r, p.y)).z < 0.02) {
        is_open = false;
        continue;
      }
      if (!is_open) path.move(view.seen(view.on_chart(plan.at(i - 1), 0.3)));
      path.line(view.seen(view.on_chart(p, 0.3)));
      is_open = true;
    }
    if (path.empty()) continue;
    const Colour thread = parse_colour(plan.threads[static_cast<std::size_t>(block.thread)].rgb);
    picture.add(Shape{std::move(path),
                      {},
                      {{mix(thread, kBlack, 0.2), 0.55, {}, true}, {thread, 0.38, {}, true}}});
  }
}

}  // namespace

EngravedCap engrave_cap(const Subject& subject, double yaw_rad, double pitch_rad, Colour paper) {
  const CapView view(subject.setup, yaw_rad, pitch_rad);
  Path body;
  body.add(view.silhouette(), true);
  Picture picture;
  engrave_bill(picture, view, paper);  // first: the crown hides its far end
  picture.fill(body, paper);
  engrave_parallels(picture, view);
  engrave_seams(picture, view, subject.setup.cap);
  engrave_eyelets(picture, view, subject.setup.cap, paper);
  lay_stitches(picture, view, subject.plan);
  picture.draw(body, {}, {kInk, 1.15, {}, true});
  Path button;
  geometry::Polyline ring;
  const Point top = view.seen(view.crown(0, view.top()));
  for (int k = 0; k < 32; ++k) {
    const double t = 2 * base::kPi * k / 32;
    ring.push_back({top.x + 5 * std::cos(t), top.y - 1.2 + 2.6 * std::sin(t)});
  }
  button.add(ring, true);
  picture.draw(std::move(button), paper, {kInk, 0.9, {}, true});
  geometry::Box extent = geometry::bounds(body.points);
  for (int k = 0; k <= 60; ++k) extent.add(view.seen(view.bill(-1 + 2.0 * k / 60, 1)));
  extent.add(Point{top.x, top.y - 4});
  return {std::move(picture), {extent.x0 - 1, extent.y0 - 1, extent.x1 + 1, extent.y1 + 1}};
}

}  // namespace buckram::report
