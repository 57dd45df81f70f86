// What the stitches cover, as outlines: for placing, where threads drawn one by one are a grey
// patch.
#include "report/contours.h"
#include "report/threads.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <string>
#include <utility>
#include <vector>

namespace buckram::report {
namespace {

using geometry::Box;
using geometry::Point;

constexpr double kStep_mm = 0.15;
// The outline runs so far from the stitches: rows 0.4 mm apart join with room to spare, and it lies
// 0.1 mm outside a thread 0.4 mm wide.
constexpr double kAside_mm = 0.3;
constexpr double kReach_mm = 0.5;     // how far nearness is worked out
constexpr double kFarthest_mm = 300;  // from the chart's middle: no cap and no paper reaches there
constexpr double kLeastRing_mm2 = 0.4;  // smaller holes between threads are none of the artwork

using Segments = std::vector<std::pair<Point, Point>>;

// What one thread sews of one artwork element is one shape: the seams where it was cut up for
// sewing are none of the artwork. In sewing order, without what lies off any cap.
std::vector<Segments> shapes_of(const stitch::Plan& plan) {
  const std::vector<std::size_t> object_of = stitch::object_of_blocks(plan);
  const auto is_near = [&](int i) {
    return std::max(std::abs(plan.at(i).x), std::abs(plan.at(i).y)) <= kFarthest_mm;
  };
  std::map<std::pair<int, std::string>, std::size_t> known;
  std::vector<Segments> shapes;
  for (std::size_t b = 0; b < plan.blocks.size(); ++b) {
    const stitch::Block& block = plan.blocks[b];
    if (block.layer != stitch::Layer::top) continue;
    const std::string& own = plan.objects[object_of[b]].source;
    const std::string source = own.empty() ? "#" + std::to_string(block.object) : own;
    const auto [at, is_new] = known.try_emplace({block.thread, source}, shapes.size());
    if (is_new) shapes.emplace_back();
    for (int i = block.first; i < block.first + block.count; ++i)
      if (stitch::has_thread(plan, i) && is_near(i - 1) && is_near(i))
        shapes[at->second].emplace_back(plan.at(i - 1), plan.at(i));
  }
  std::erase_if(shapes, [](const Segments& s) { return s.empty(); });
  return shapes;
}

double distance_to(Point p, Point a, Point b) {
  const Point d = b - a;
  const double length2 = geometry::dot(d, d);
  const double t = length2 > 0 ? std::clamp(geometry::dot(p - a, d) / length2, 0.0, 1.0) : 0;
  return geometry::distance(p, a + d * t);
}

// Nearness to the thread: kReach less the distance, 0 beyond.
Field nearness(const Segments& segments) {
  Box box;
  for (const auto& [a, b] : segments) box.add(a), box.add(b);
  Field field{box.x0 - 2 * kReach_mm,
              box.y0 - 2 * kReach_mm,
              kStep_mm,
              static_cast<int>((box.width() + 4 * kReach_mm) / kStep_mm) + 2,
              static_cast<int>((box.height() + 4 * kReach_mm) / kStep_mm) + 2,
              {}};
  field.z.assign(static_cast<std::size_t>(field.nx) * static_cast<std::size_t>(field.ny), 0);
  const auto cell = [](double mm, int most) {
    return std::clamp(static_cast<int>(std::floor(mm / kStep_mm)), 0, most);
  };
  for (const auto& [a, b] : segments) {
    const int i0 = cell(std::min(a.x, b.x) - kReach_mm - field.x0, field.nx - 1);
    const int i1 = cell(std::max(a.x, b.x) + kReach_mm - field.x0 + kStep_mm, field.nx - 1);
    const int j0 = cell(std::min(a.y, b.y) - kReach_mm - field.y0, field.ny - 1);
    const int j1 = cell(std::max(a.y, b.y) + kReach_mm - field.y0 + kStep_mm, field.ny - 1);
    for (int j = j0; j <= j1; ++j) {
      for (int i = i0; i <= i1; ++i) {
        const Point p{field.x0 + i * kStep_mm, field.y0 + j * kStep_mm};
        double& z = field.z[static_cast<std::size_t>(j * field.nx + i)];
        z = std::max(z, kReach_mm - distance_to(p, a, b));
      }
    }
  }
  return field;
}

}  // namespace

Picture draw_outlines(const stitch::Plan& plan, Colour paper, const Pen& pen) {
  Picture picture;
  for (const Segments& segments : shapes_of(plan)) {
    Path path;
    for (const geometry::Ring& ring : ground_above(nearness(segments), kReach_mm - kAside_mm)) {
      if (std::abs(geometry::area(ring)) < kLeastRing_mm2) continue;
      geometry::Polyline turned;
      for (const Point p : ring) turned.push_back({p.x, -p.y});
      path.add(turned, true);
    }
    if (!path.empty()) picture.draw(std::move(path), paper, pen);
  }
  return picture;
}

}  // namespace buckram::report
