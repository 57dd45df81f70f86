#include "artwork/opacity.h"

#include <fmt/format.h>

#include <cmath>
#include <utility>

namespace buckram::artwork {
namespace {

using geometry::Polygons;

Rgb blended(Rgb top, Rgb below, double opacity) {
  const auto mix = [&](int a, int b) {
    return static_cast<std::uint8_t>(std::lround(a * opacity + b * (1 - opacity)));
  };
  return {mix(top.r, below.r), mix(top.g, below.g), mix(top.b, below.b)};
}

// Lays one see-through shape over what is there.
void lay_over(GlassShape glass, double least_area, WorkLimit& work, std::vector<Shape>& laid) {
  Polygons rest = std::move(glass.shape.area);
  std::vector<Shape> pieces;
  const auto put = [&](Polygons area, Rgb colour) {
    if (geometry::area(area) > least_area)
      pieces.push_back({std::move(area), colour, glass.shape.source, {}});
  };
  for (std::size_t i = laid.size(); i-- > 0 && !rest.empty();) {
    if (!geometry::bounds(rest).meets(geometry::bounds(laid[i].area))) continue;
    work.spend(rest, laid[i].area, glass.shape.source);
    put(geometry::intersect(rest, laid[i].area),
        blended(glass.shape.colour, laid[i].colour, glass.opacity));
    rest = geometry::subtract(rest, laid[i].area);
  }
  put(std::move(rest), glass.shape.colour);
  for (Shape& piece : pieces) laid.push_back(std::move(piece));
}

}  // namespace

std::vector<Shape> opaque_pieces(std::vector<GlassShape> shapes, double least_area, WorkLimit& work,
                                 std::vector<Note>& notes) {
  std::vector<Shape> laid;
  std::string last;
  for (GlassShape& glass : shapes) {
    if (glass.opacity >= kOpaque) {
      laid.push_back(std::move(glass.shape));
      continue;
    }
    if (glass.opacity < 0.5 && glass.shape.source != last) {
      last = glass.shape.source;
      notes.push_back(
          {"colour",
           last,
           {},
           fmt::format(
               "{:.0f} % opaque: sewn in the mixed colour where it lies over other parts, in "
               "its own where it lies on the cloth",
               100 * glass.opacity)});
    }
    lay_over(std::move(glass), least_area, work, laid);
  }
  return laid;
}

}  // namespace buckram::artwork
