#include "cap/crown.h"

#include <fmt/format.h>

#include <cmath>

namespace buckram::cap {
namespace {

constexpr double kSampleMm = 0.25;
constexpr double kButtonRadiusMm = 10;  // estimate, from memory

geometry::Ring circle(geometry::Point centre, double radius) {
  const int n = std::max(24, static_cast<int>(std::ceil(2 * base::kPi * radius / kSampleMm)));
  geometry::Ring ring;
  for (int i = 0; i < n; ++i) {
    const double a = 2 * base::kPi * i / n;
    ring.push_back({centre.x + radius * std::cos(a), centre.y + radius * std::sin(a)});
  }
  return ring;
}

// The frame's field on the chart.
geometry::Polygons field_on_chart(const Setup& setup, const Chart& chart) {
  const geometry::Box& f = setup.mount.field;
  const std::vector<geometry::Point> corners{
      {f.x0, f.y0}, {f.x1, f.y0}, {f.x1, f.y1}, {f.x0, f.y1}};
  geometry::Ring ring;
  for (std::size_t k = 0; k < corners.size(); ++k) {
    const geometry::Point a = corners[k], b = corners[(k + 1) % corners.size()];
    const int n = std::max(1, static_cast<int>(std::ceil(geometry::distance(a, b) / kSampleMm)));
    for (int i = 0; i < n; ++i) {
      ring.push_back(chart.from_machine(geometry::mix(a, b, static_cast<double>(i) / n)));
    }
  }
  return geometry::unite({ring}, geometry::FillRule::nonzero);
}

geometry::Polygons strip(const Setup& setup) {
  const double wide = 2 * base::kPi * setup.cap.crown.r0_mm;
  const double top = setup.cap.bill.keep_off_mm;
  return {{{{-wide, -wide}, {wide, -wide}, {wide, top}, {-wide, top}}, {}}};
}

bool bill_in_the_way(const Setup& setup) {
  return setup.mount.bill_is_on && setup.cap.bill.keep_off_mm > 0;
}

geometry::Polygons button(const Setup& setup, const Chart& chart) {
  if (setup.mount.is_front_flat && !setup.mount.seam_is_on) return {};  // panels, not yet sewn up
  return {{circle({0, chart.profile().to_button()}, kButtonRadiusMm), {}}};
}

bool meets(const geometry::Polygons& a, const geometry::Polygons& b) {
  constexpr double kTouchMm2 = 1e-3;  // what snapping to the grid may leave
  return geometry::area(geometry::intersect(a, b)) > kTouchMm2;
}

}  // namespace

geometry::Polygons reach(const Setup& setup) {
  const Chart chart(setup);
  geometry::Polygons free = field_on_chart(setup, chart);
  if (bill_in_the_way(setup)) free = geometry::subtract(free, strip(setup));
  for (const Eyelet& eyelet : setup.cap.eyelets) {
    free = geometry::subtract(free, {{circle(eyelet.at, eyelet.radius_mm), {}}});
  }
  const geometry::Polygons top = button(setup, chart);
  return top.empty() ? free : geometry::subtract(free, top);
}

std::string obstacle(const Setup& setup, const geometry::Polygons& shape) {
  const Chart chart(setup);
  if (bill_in_the_way(setup) && meets(shape, strip(setup))) return "the strip beside the bill seam";
  for (const Eyelet& eyelet : setup.cap.eyelets) {
    if (meets(shape, {{circle(eyelet.at, eyelet.radius_mm), {}}})) {
      return fmt::format("the eyelet {:g} mm {}, {:g} mm up", std::abs(eyelet.at.x),
                         eyelet.at.x < 0 ? "left" : "right", eyelet.at.y);
    }
  }
  const geometry::Polygons top = button(setup, chart);
  if (!top.empty() && meets(shape, top)) return "the button";
  const geometry::Polygons outside = geometry::subtract(shape, field_on_chart(setup, chart));
  return geometry::area(outside) > 1e-3 ? "beyond the frame's field" : "";
}

}  // namespace buckram::cap
