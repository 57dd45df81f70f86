#include "report/preview.h"
#include "report/words.h"

#include "base/base.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace buckram::report {

Vec3 light_direction() {
  return unit({-0.46, 0.62, 0.64});
}

namespace {

using geometry::Box;
using geometry::Point;

// The whole cap from the front, `width` px wide.
Pixels whole_cap(const Subject& subject, int width) {
  const CapView view(subject.setup, 0, base::radians(9));
  Box box = geometry::bounds(view.silhouette());
  for (int k = 0; k <= 60; ++k) box.add(view.seen(view.bill(-1 + 2.0 * k / 60, 1)));
  const double margin = 0.045 * box.width();
  const double scale = width / (box.width() + 2 * margin);
  const int height =
      std::max(1, static_cast<int>(std::lround((box.height() + 2 * margin) * scale)));
  const Stage stage{view, shift((margin - box.x0) * scale, (margin - box.y0) * scale, scale), scale,
                    parse_colour(subject.setup.cap.cloth_rgb)};
  Pixels pixels = make_pixels(width, height, kPaper);
  paint_cap(pixels, stage, subject.setup.cap);
  paint_stitches(pixels, stage, subject.plan);
  return pixels;
}

Box sewn_box(const Subject& subject) {
  Box box = subject.artwork_box;
  for (int i = 0; i < subject.plan.size(); ++i) box.add(subject.plan.at(i));
  return box;
}

// The stitches laid flat, so that their proportions are true, as large as the width allows.
Pixels close_up(const Subject& subject, const Box& sewn, int width) {
  constexpr double kMostTall = 0.56, kMostWide = 0.9;  // of the width
  constexpr double kRoom_mm = 4, kMostPxPerMm = 14;
  const CapView view = CapView::laid_flat(subject.setup);
  Box seen;
  for (int k = 0; k <= 20; ++k)
    for (const double y : {sewn.y0, sewn.middle().y, sewn.y1})
      seen.add(view.seen(
          view.on_chart({geometry::mix(Point{sewn.x0, y}, Point{sewn.x1, y}, k / 20.0)})));
  const double scale = std::min({kMostPxPerMm, kMostWide * width / (seen.width() + 1e-6),
                                 kMostTall * width / (seen.height() + 1e-6)});
  const int height =
      std::max(8, static_cast<int>(std::lround((seen.height() + 2 * kRoom_mm) * scale)));
  const Point m = seen.middle();
  const Stage stage{view, shift(width / 2.0 - m.x * scale, height / 2.0 - m.y * scale, scale),
                    scale, parse_colour(subject.setup.cap.cloth_rgb)};
  Pixels pixels = make_pixels(width, height, kPaper);
  paint_cap(pixels, stage, subject.setup.cap);
  paint_stitches(pixels, stage, subject.plan);
  return pixels;
}

// What it is and how large, between the two pictures.
Pixels caption(const Subject& subject, const Box& sewn, int width) {
  const int height = std::max(8, width / 24);
  Pixels strip = make_pixels(width, height, kPaper);
  Picture words;
  const Type type{Face::sans, 0.4 * height, 400, false, kInk2, 0};
  const std::string title = subject.title.empty() ? subject.artwork : subject.title;
  const std::string size = millimetres(sewn.width(), 0) + " × " + millimetres(sewn.height(), 0) +
                           " (" + inches(sewn.width()) + " × " + inches(sewn.height()) + ")";
  const TypeRule rule;
  words.add(Text{{width / 2.0, 0.64 * height},
                 rule.fitted((title.empty() ? "" : title + " · ") + size + " · close-up, laid flat",
                             type, 0.94 * width),
                 type,
                 Anchor::middle});
  paint(strip, words, {});
  return strip;
}

void append_rows(Pixels& pixels, const Pixels& below) {
  pixels.argb.insert(pixels.argb.end(), below.argb.begin(), below.argb.end());
  pixels.height += below.height;
}

}  // namespace

std::string preview_png(const Subject& subject, int width_px) {
  const int width = std::clamp(width_px, 64, 8192);
  const Box sewn = sewn_box(subject);
  const bool has_close_up = !sewn.empty() && sewn.width() > 0 && sewn.height() > 0;
  std::array<Pixels, 2> parts;
  base::parallel_for(has_close_up ? 2 : 1, [&](std::size_t k) {
    parts[k] = k == 0 ? whole_cap(subject, width) : close_up(subject, sewn, width);
  });
  if (has_close_up) {
    append_rows(parts[0], caption(subject, sewn, width));
    append_rows(parts[0], parts[1]);
  }
  return write_png(parts[0]);
}

}  // namespace buckram::report
