#include "report/terrain.h"

#include "report/told.h"

#include <algorithm>
#include <cmath>

namespace buckram::report {
namespace {

constexpr double kFieldStep_mm = 0.5;
constexpr double kRoomForWords_mm = 44;  // beside the artwork, for callouts
constexpr double kLeastHalfWidth_mm = 60, kMostHalfWidth_mm = 115;
constexpr double kLeastTop_mm = 70, kMostTop_mm = 150;
constexpr double kHighestLevel_mm = 8;

double up_to_five(double v) {
  return 5 * std::ceil(v / 5 - 1e-9);
}

geometry::Box window_of(const Subject& subject, const geometry::Polygons& reach) {
  geometry::Box art = subject.artwork_box;
  for (int i = 0; i < subject.plan.size(); ++i) art.add(subject.plan.at(i));
  return chart_window(art, reach);
}

Field sample_gap(const cap::GapField& gap, const geometry::Box& window) {
  Field field{window.x0,
              window.y0,
              kFieldStep_mm,
              static_cast<int>(std::lround(window.width() / kFieldStep_mm)) + 1,
              static_cast<int>(std::lround(window.height() / kFieldStep_mm)) + 1,
              {}};
  field.z.resize(static_cast<std::size_t>(field.nx * field.ny));
  for (int j = 0; j < field.ny; ++j)
    for (int i = 0; i < field.nx; ++i)
      field.z[static_cast<std::size_t>(j * field.nx + i)] =
          gap.at({field.x0 + i * kFieldStep_mm, field.y0 + j * kFieldStep_mm}).gap_mm;
  return field;
}

std::vector<LevelLines> levels_of(const Field& field) {
  std::vector<LevelLines> levels{{0.25, contours(field, 0.25), {}}};
  const double top = field.z.empty() ? 0 : *std::max_element(field.z.begin(), field.z.end());
  for (double level = 0.5; level <= std::min(top, kHighestLevel_mm); level += 0.5)
    levels.push_back({level, contours(field, level), ground_above(field, level)});
  return levels;
}

}  // namespace

geometry::Box chart_window(const geometry::Box& shown, const geometry::Polygons& reach) {
  const geometry::Box art = shown.empty() ? geometry::Box{-20, 16, 20, 60} : shown;
  const double half = std::max(std::abs(art.x0), std::abs(art.x1)) + kRoomForWords_mm;
  const double field_half = reach.empty() ? half : geometry::bounds(reach).x1 + 6;
  const double field_top = reach.empty() ? art.y1 : geometry::bounds(reach).y1;
  // The field's top with some sea above it, unless that lies far above the artwork.
  const double top = std::max(art.y1 + 10, std::min(field_top + 7, art.y1 + 40));
  // A field that ends just past the room for words is shown to its shore.
  const double wide = field_half < half + 12 ? std::max(half, field_half) : half;
  const double x = std::clamp(up_to_five(wide), kLeastHalfWidth_mm, kMostHalfWidth_mm);
  return {-x, std::min(0.0, -up_to_five(-art.y0)), x,
          std::clamp(up_to_five(top), kLeastTop_mm, kMostTop_mm)};
}

Terrain survey(const Subject& subject) {
  const cap::Setup& setup = subject.setup;
  const geometry::Polygons reach = geometry::simplify(cap::reach(setup), 0.02);
  Terrain terrain{window_of(subject, reach),
                  reach,
                  setup.cap.has_seam && setup.mount.seam_is_on,
                  setup.mount.bill_is_on && setup.cap.bill.keep_off_mm > 0,
                  {},
                  {},
                  cap::GapField(setup)};
  terrain.gap = sample_gap(terrain.gap_field, terrain.window);
  terrain.levels = levels_of(terrain.gap);
  return terrain;
}

}  // namespace buckram::report
