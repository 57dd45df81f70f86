#include "report/chart_words.h"
#include "report/words.h"

#include "base/base.h"

#include <cmath>

namespace buckram::report {
namespace {

constexpr double kBar_px = 10, kFigure_px = 11.5, kInch_px = 10.5;

Type axis_type(const Look& look) {
  return {Face::sans, kFigure_px * look.px_mm, 400, false, kInk2, 0};
}
Type inch_type(const Look& look) {
  return {Face::sans, kInch_px * look.px_mm, 400, false, kInk3, 0};
}

std::string signed_figure(double v) {
  return v > 0 ? "+" + figure(v, 0) : figure(v, 0);
}

void draw_bars(Picture& picture, const geometry::Box& w, double bar, const Look& look) {
  Path bars;
  const int nx = static_cast<int>(std::lround(w.width() / 5));
  const int ny = static_cast<int>(std::lround(w.height() / 5));
  for (int i = 0; i < nx; i += 2) {
    const double x = w.x0 + 5 * i, wide = std::min(5.0, w.x1 - x);
    bars.box({x, -w.y0, x + wide, -w.y0 + bar});
    bars.box({x, -w.y1 - bar, x + wide, -w.y1});
  }
  for (int j = 0; j < ny; j += 2) {
    const double y = w.y0 + 5 * j, tall = std::min(5.0, w.y1 - y);
    bars.box({w.x0 - bar, -y - tall, w.x0, -y});
    bars.box({w.x1, -y - tall, w.x1 + bar, -y});
  }
  picture.fill(std::move(bars), kInk);
  const Pen pen{kInk, look.px_mm, {}, false};
  picture.stroke(rectangle(w.x0, -w.y1, w.width(), w.height()), pen);
  picture.stroke(rectangle(w.x0 - bar, -w.y1 - bar, w.width() + 2 * bar, w.height() + 2 * bar),
                 pen);
}

void draw_inches(Picture& picture, const geometry::Box& w, double bar, const Look& look) {
  const Type type = inch_type(look);
  Path ticks;
  const double tick = 5 * look.px_mm, gap = 3 * look.px_mm;
  for (int k = static_cast<int>(std::ceil(w.x0 / base::kMmPerInch)); k * base::kMmPerInch <= w.x1;
       ++k) {
    const double x = k * base::kMmPerInch, y = -w.y1 - bar;
    ticks.segment({x, y}, {x, y - tick});
    picture.add(
        Text{{x, y - tick - gap}, std::to_string(std::abs(k)) + " in", type, Anchor::middle});
  }
  for (int k = static_cast<int>(std::ceil(w.y0 / base::kMmPerInch)); k * base::kMmPerInch <= w.y1;
       ++k) {
    const double y = -k * base::kMmPerInch, x = w.x1 + bar;
    ticks.segment({x, y}, {x + tick, y});
    picture.add(Text{{x + tick + gap, y + 0.35 * type.size_mm}, std::to_string(k) + " in", type});
  }
  picture.stroke(std::move(ticks), {kInk2, look.px_mm, {}, false});
}

}  // namespace

geometry::Box frame_extent(const geometry::Box& w, const Look& look) {
  const double bar = kBar_px * look.px_mm;
  const double left = bar + 32 * look.px_mm, right = bar + 36 * look.px_mm;
  const double top = bar + 20 * look.px_mm, bottom = bar + 19 * look.px_mm;
  return {w.x0 - left, -w.y1 - top, w.x1 + right, -w.y0 + bottom};
}

void draw_frame(Picture& picture, const geometry::Box& w, const Look& look, bool has_lowest) {
  const double bar = kBar_px * look.px_mm;
  // The ring between the two frames is paper, so that the bars stand on white.
  Path ring = rectangle(w.x0 - bar, -w.y1 - bar, w.width() + 2 * bar, w.height() + 2 * bar);
  ring.box({w.x0, -w.y1, w.x1, -w.y0});
  picture.fill(std::move(ring), look.paper);
  draw_bars(picture, w, bar, look);
  const Type type = axis_type(look);
  const double below = -w.y0 + bar + type.size_mm + 4 * look.px_mm;
  for (double x = 10 * std::ceil(w.x0 / 10); x <= w.x1; x += 10)
    picture.add(Text{{x, below}, signed_figure(x), type, Anchor::middle});
  const double beside = w.x0 - bar - 6 * look.px_mm;
  for (double y = 10 * std::ceil(w.y0 / 10); y <= w.y1; y += 10)
    picture.add(Text{{beside, -y + 0.35 * type.size_mm}, figure(y, 0), type, Anchor::end});
  if (has_lowest) {
    Type italic = type;
    italic.face = Face::serif, italic.italic = true;
    picture.add(
        Text{{beside, -kUsualLowest_mm + 0.35 * type.size_mm}, "12.7", italic, Anchor::end});
  }
  draw_inches(picture, w, bar, look);
}

}  // namespace buckram::report
