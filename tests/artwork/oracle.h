// What an independent renderer (librsvg) makes of a file, against our regions.
//
// Both are drawn at 2048 pixels and averaged down to 512, so that edges are smooth in both and
// two shapes that meet leave no seam. A pixel disagrees when any of its four channels
// (premultiplied) differs by more than 48 of 255: at full contrast an edge out of place by a fifth
// of a pixel, 1/2700 of the picture. The share is of the pixels painted by either. Nothing is left
// out at edges. The regions are drawn without antialiasing, in the artwork's colours.
//
// What it cannot see: how regions overlap, and what is thinner than about a tenth of a pixel.
#pragma once

#include "artwork/artwork.h"

#include <cairo.h>
#include <librsvg/rsvg.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <string>
#include <vector>

namespace buckram::tests {

inline constexpr int kCoarse = 512;
inline constexpr int kFine = 2048;

using Pixels = std::vector<std::uint8_t>;  // kCoarse squared, four channels each

inline Pixels averaged_down(cairo_surface_t* surface) {
  cairo_surface_flush(surface);
  const std::uint8_t* data = cairo_image_surface_get_data(surface);
  const int stride = cairo_image_surface_get_stride(surface);
  constexpr int kStep = kFine / kCoarse;
  Pixels out(static_cast<std::size_t>(kCoarse) * kCoarse * 4);
  for (int y = 0; y < kCoarse; ++y)
    for (int x = 0; x < kCoarse; ++x)
      for (int c = 0; c < 4; ++c) {
        int sum = 0;
        for (int j = 0; j < kStep; ++j)
          for (int i = 0; i < kStep; ++i)
            sum += data[(y * kStep + j) * stride + (x * kStep + i) * 4 + c];
        out[static_cast<std::size_t>((y * kCoarse + x) * 4 + c)] =
            static_cast<std::uint8_t>(sum / (kStep * kStep));
      }
  return out;
}

// The file as librsvg draws it, its page fitted into the square. Empty when it cannot be read.
inline Pixels librsvg_pixels(const std::string& svg) {
  GError* error = nullptr;
  RsvgHandle* handle =
      rsvg_handle_new_from_data(reinterpret_cast<const guint8*>(svg.data()), svg.size(), &error);
  if (!handle) return {};
  rsvg_handle_set_dpi(handle, 96);  // CSS px
  cairo_surface_t* surface = cairo_image_surface_create(CAIRO_FORMAT_ARGB32, kFine, kFine);
  cairo_t* cr = cairo_create(surface);
  const RsvgRectangle all{0, 0, kFine, kFine};
  const bool is_drawn = rsvg_handle_render_document(handle, cr, &all, &error);
  Pixels out;
  if (is_drawn) out = averaged_down(surface);
  cairo_destroy(cr);
  cairo_surface_destroy(surface);
  g_object_unref(handle);
  return out;
}

inline void trace(cairo_t* cr, const geometry::Ring& ring, const geometry::Affine& map) {
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const geometry::Point p = map(ring[i]);
    if (i == 0)
      cairo_move_to(cr, p.x, p.y);
    else
      cairo_line_to(cr, p.x, p.y);
  }
  cairo_close_path(cr);
}

// `map` takes the polygons to pixels of the fine picture.
inline void fill(cairo_t* cr, const geometry::Polygons& polygons, artwork::Rgb colour,
                 const geometry::Affine& map) {
  for (const geometry::Polygon& polygon : polygons) {
    trace(cr, polygon.outer, map);
    for (const geometry::Ring& hole : polygon.holes) trace(cr, hole, map);
  }
  cairo_set_source_rgb(cr, colour.r / 255.0, colour.g / 255.0, colour.b / 255.0);
  cairo_fill(cr);
}

inline Pixels region_pixels(const artwork::Regions& regions, const geometry::Affine& user_to_fine) {
  cairo_surface_t* surface = cairo_image_surface_create(CAIRO_FORMAT_ARGB32, kFine, kFine);
  cairo_t* cr = cairo_create(surface);
  cairo_set_antialias(cr, CAIRO_ANTIALIAS_NONE);
  const geometry::Affine map =
      geometry::compose(user_to_fine, geometry::inverse(regions.placement));
  for (const artwork::Region& region : regions.regions)
    fill(cr, region.visible, region.colour, map);
  Pixels out = averaged_down(surface);
  cairo_destroy(cr);
  cairo_surface_destroy(surface);
  return out;
}

// Share of the painted pixels that disagree, 0 to 1.
inline double disagreement(const Pixels& a, const Pixels& b) {
  int painted = 0, off = 0;
  for (std::size_t i = 0; i < a.size(); i += 4) {
    if (a[i + 3] == 0 && b[i + 3] == 0) continue;
    ++painted;
    int most = 0;
    for (std::size_t c = 0; c < 4; ++c) most = std::max(most, std::abs(a[i + c] - b[i + c]));
    off += most > 48;
  }
  return painted ? static_cast<double>(off) / painted : 0;
}

// From the file's user units to pixels of the fine picture; the files here all have a viewBox.
inline geometry::Affine page_to_fine(const std::string& svg) {
  const std::size_t at = svg.find("viewBox");
  double box[4] = {0, 0, 100, 100};
  const char* text = svg.c_str() + svg.find_first_of("\"'", at) + 1;
  for (double& v : box) {
    char* end = nullptr;
    v = std::strtod(text, &end);
    text = end + (*end == ',' ? 1 : 0);
  }
  const double k = kFine / std::max(box[2], box[3]);
  return {k, 0, 0, k, (kFine - k * box[2]) / 2 - k * box[0], (kFine - k * box[3]) / 2 - k * box[1]};
}

// One thread for every colour of the drawing: what is compared is geometry, not thread matching.
inline std::vector<artwork::Thread> own_threads(const artwork::Drawing& drawing) {
  std::vector<artwork::Thread> threads;
  for (const artwork::Shape& shape : drawing.shapes) {
    const std::string name = artwork::hex(shape.colour);
    const bool is_known =
        std::any_of(threads.begin(), threads.end(), [&](const auto& t) { return t.name == name; });
    if (!is_known) threads.push_back({name, "", shape.colour, 27});
  }
  return threads;
}

// Regions 45 mm tall or 90 mm wide, whichever is smaller.
inline artwork::Regions regions_of(const artwork::Drawing& drawing,
                                   const std::vector<artwork::Thread>& threads,
                                   const artwork::RegionOptions& options = {}) {
  const double scale = std::min(45 / drawing.painted.height(), 90 / drawing.painted.width());
  return artwork::visible_regions(drawing, artwork::placement_matrix(drawing, {{0, 40}, scale}),
                                  threads, options);
}

}  // namespace buckram::tests
