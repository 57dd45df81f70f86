#include "report/preview.h"

#include "base/base.h"

#include <algorithm>
#include <cmath>

namespace buckram::report {

Vec3 light_direction() {
  return unit({-0.46, 0.62, 0.64});
}

std::string preview_png(const Subject& subject, int width_px) {
  const int width = std::clamp(width_px, 64, 8192);
  const CapView view(subject.setup, 0, base::radians(9));
  geometry::Box box = geometry::bounds(view.silhouette());
  for (int k = 0; k <= 60; ++k) box.add(view.seen(view.bill(-1 + 2.0 * k / 60, 1)));
  const double margin = 0.045 * box.width();
  const double scale = width / (box.width() + 2 * margin);
  const int height =
      std::max(1, static_cast<int>(std::lround((box.height() + 2 * margin) * scale)));
  Stage stage{view, shift((margin - box.x0) * scale, (margin - box.y0) * scale, scale), scale,
              parse_colour(subject.setup.cap.cloth_rgb)};
  Pixels pixels = make_pixels(width, height, kPaper);
  paint_cap(pixels, stage, subject.setup.cap);
  paint_stitches(pixels, stage, subject.plan);
  return write_png(pixels);
}

}  // namespace buckram::report
