#include "sheet.h"

#include <cairo.h>

#include <algorithm>
#include <cmath>

namespace letters {
namespace {

using namespace buckram;

constexpr double kWidthPx = 2000;

struct Pen {
  cairo_t* cairo;
  void line(double x0, double y0, double x1, double y1) const {
    cairo_move_to(cairo, x0, y0);
    cairo_line_to(cairo, x1, y1);
    cairo_stroke(cairo);
  }
  void ink(double r, double g, double b, double width) const {
    cairo_set_source_rgb(cairo, r, g, b);
    cairo_set_line_width(cairo, width);
  }
  void ring(const geometry::Ring& ring) const {
    for (std::size_t i = 0; i < ring.size(); ++i)
      i == 0 ? cairo_move_to(cairo, ring[i].x, ring[i].y)
             : cairo_line_to(cairo, ring[i].x, ring[i].y);
    cairo_close_path(cairo);
  }
};

void draw_artwork(const Pen& pen, const job::Planned& planned) {
  for (const auto& region : planned.regions.regions) {
    for (const auto& polygon : region.visible) {
      pen.ring(polygon.outer);
      for (const auto& hole : polygon.holes) pen.ring(hole);
    }
  }
  pen.ink(0.93, 0.62, 0.55, 0.1);
  cairo_fill(pen.cairo);
}

// Each stitch dark with a lighter middle, so that single threads can be told apart.
void draw_thread(const Pen& pen, const stitch::Plan& plan) {
  for (const stitch::Block& block : plan.blocks) {
    for (int i = std::max(1, block.first); i < block.first + block.count; ++i) {
      const auto draw = [&] { pen.line(plan.x[i - 1], plan.y[i - 1], plan.x[i], plan.y[i]); };
      if (plan.op[i] != stitch::Op::sew || plan.op[i - 1] != stitch::Op::sew) continue;
      pen.ink(0.10, 0.20, 0.32, 0.4);
      draw();
      const double light = block.layer == stitch::Layer::top ? 0.62 : 0.45;
      pen.ink(light - 0.2, light, light + 0.2, 0.24);
      draw();
    }
  }
}

void draw_moves(const Pen& pen, const stitch::Plan& plan) {
  pen.ink(0.8, 0.1, 0.1, 0.06);
  for (std::size_t i = 1; i < plan.op.size(); ++i) {
    if (plan.op[i] == stitch::Op::move)
      pen.line(plan.x[i - 1], plan.y[i - 1], plan.x[i], plan.y[i]);
  }
}

}  // namespace

void draw_sheet(const std::vector<Drawn>& glyphs, double height_mm, int across,
                const std::string& path) {
  const double cell_w = 1.22 * height_mm + 0.8, cell_h = 1.5 * height_mm + 0.8;
  const int rows = (static_cast<int>(glyphs.size()) + across - 1) / across;
  const double scale = kWidthPx / (across * cell_w);
  cairo_surface_t* surface = cairo_image_surface_create(
      CAIRO_FORMAT_RGB24, static_cast<int>(kWidthPx), static_cast<int>(rows * cell_h * scale));
  cairo_t* cairo = cairo_create(surface);
  cairo_set_source_rgb(cairo, 0.97, 0.96, 0.94);
  cairo_paint(cairo);
  cairo_set_line_cap(cairo, CAIRO_LINE_CAP_ROUND);
  for (std::size_t k = 0; k < glyphs.size(); ++k) {
    const Drawn& glyph = glyphs[k];
    if (glyph.planned == nullptr || !glyph.planned->plan) continue;
    const geometry::Box& box = glyph.planned->regions.box;
    const double x = static_cast<double>(k % across) * cell_w + (cell_w - box.width()) / 2;
    const double base = (static_cast<double>(k / across) + 0.8) * cell_h;
    cairo_save(cairo);
    cairo_scale(cairo, scale, scale);
    cairo_translate(cairo, x - box.x0, base - glyph.y_mm + box.y0);
    cairo_scale(cairo, 1, -1);
    const Pen pen{cairo};
    draw_artwork(pen, *glyph.planned);
    draw_thread(pen, *glyph.planned->plan);
    draw_moves(pen, *glyph.planned->plan);
    cairo_restore(cairo);
  }
  cairo_surface_write_to_png(surface, path.c_str());
  cairo_destroy(cairo);
  cairo_surface_destroy(surface);
}

}  // namespace letters
