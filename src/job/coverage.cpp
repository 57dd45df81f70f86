#include "job/coverage.h"

#include "base/base.h"

#include <algorithm>

namespace buckram::job {
namespace {

constexpr double kGridTurnDeg = 17.3;
constexpr double kPitchMm = 0.1;
constexpr double kSpillFromMm = 0.2;

bool is_top(stitch::Layer layer) {
  return layer == stitch::Layer::top;
}

void paint_thread(geometry::Raster& raster, const stitch::Plan& plan, double width_mm) {
  for (const stitch::Block& block : plan.blocks) {
    if (!is_top(block.layer)) continue;
    for (int i = std::max(block.first, 1); i < block.first + block.count; ++i) {
      if (stitch::has_thread(plan, i)) {
        geometry::paint_capsule(raster, plan.at(i - 1), plan.at(i), width_mm, 1);
      }
    }
  }
}

}  // namespace

advise::Coverage coverage(const stitch::Plan& plan, const artwork::Regions& regions,
                          const std::vector<digitise::Object>& objects, double thread_mm) {
  std::vector<geometry::Polygons> visible, planned;
  for (const artwork::Region& region : regions.regions) visible.push_back(region.visible);
  for (const digitise::Object& object : objects) planned.push_back(object.outline);
  const geometry::Polygons art = geometry::unite(visible);
  const geometry::Polygons sewable = geometry::intersect(art, geometry::unite(planned));
  geometry::Box box = geometry::bounds(art);
  const double margin = 3;
  box = {box.x0 - margin, box.y0 - margin, box.x1 + margin, box.y1 + margin};

  geometry::Raster thread = geometry::make_raster(box, kPitchMm, base::radians(kGridTurnDeg));
  geometry::Raster wanted = thread, allowed = thread;
  paint_thread(thread, plan, thread_mm);
  geometry::paint(wanted, sewable, 1);
  geometry::paint(allowed, geometry::offset(art, kSpillFromMm), 1);

  double n_missed = 0, n_spilled = 0;
  for (std::size_t i = 0; i < thread.cells.size(); ++i) {
    n_missed += wanted.cells[i] != 0 && thread.cells[i] == 0;
    n_spilled += thread.cells[i] != 0 && allowed.cells[i] == 0;
  }
  const double total_mm2 = std::max(geometry::area(art), 1e-9);
  const double per_cell = 100 * kPitchMm * kPitchMm / total_mm2;
  // The two areas are rounded each by itself: their difference may lie a hair below nothing.
  return {n_missed * per_cell, n_spilled * per_cell,
          std::clamp(100 * (1 - geometry::area(sewable) / total_mm2), 0.0, 100.0)};
}

}  // namespace buckram::job
