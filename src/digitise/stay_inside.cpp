#include "digitise/stay_inside.h"

namespace buckram::digitise {

stitch::Within allowed_cloth(const geometry::Polygons& outline, const Recipe& recipe) {
  constexpr double kRoundingMm = 0.01;
  const double beyond = stitch::Limits{}.past_outline_mm - recipe.thread_mm / 2 - kRoundingMm;
  return stitch::Within(geometry::offset(outline, beyond));
}

bool stays_inside(const geometry::Polyline& points, const stitch::Within& cloth) {
  for (std::size_t i = 1; i < points.size(); ++i) {
    if (!cloth.contains(points[i - 1], points[i])) return false;
  }
  return points.empty() || cloth.contains(points.front());
}

bool stays_inside(const std::vector<Piece>& pieces, const stitch::Within& cloth) {
  const geometry::Point* before = nullptr;
  for (const Piece& piece : pieces) {
    if (piece.points.empty()) continue;
    const bool is_travel = piece.layer == stitch::Layer::travel;
    if (!is_travel && !stays_inside(piece.points, cloth)) return false;
    if (before != nullptr && !is_travel && !cloth.contains(*before, piece.points.front())) {
      return false;
    }
    before = &piece.points.back();
  }
  return true;
}

void drop_stray_ways(Object& object, const Recipe& recipe) {
  const stitch::Within cloth = allowed_cloth(object.outline, recipe);
  std::erase_if(object.ways, [&](const Way& way) {
    return !stays_inside(sew(object, way, recipe, {true, true}), cloth);
  });
}

}  // namespace buckram::digitise
