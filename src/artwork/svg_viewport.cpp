#include "artwork/svg_viewport.h"

#include "artwork/svg_numbers.h"
#include "base/base.h"

#include <algorithm>
#include <cmath>

namespace buckram::artwork {
namespace {

struct Alignment {
  double x = 0.5, y = 0.5;  // share of the spare room that goes before the drawing
  bool is_stretched = false, is_slice = false;
};

double share(std::string_view text) {
  return text == "Min" ? 0 : text == "Max" ? 1 : 0.5;
}

Alignment alignment_of(const std::string* text) {
  Alignment alignment;
  if (!text) return alignment;
  for (const std::string_view word : words_of(*text)) {
    if (word == "none") alignment.is_stretched = true;
    if (word == "slice") alignment.is_slice = true;
    if (word.size() == 8 && word[0] == 'x' && word[4] == 'Y')
      alignment.x = share(word.substr(1, 3)), alignment.y = share(word.substr(5, 3));
  }
  return alignment;
}

std::optional<double> size_of(const Element& element, std::string_view name) {
  const std::string* text = attribute(element, name);
  if (!text || text->find('%') != std::string::npos) return std::nullopt;
  const auto value = parse_length(*text, {0, 16});
  return value && *value > 0 ? value : std::nullopt;
}

// mm for one user unit, from the side that is written in a physical unit.
double physical_scale(const Element& root, double px_per_unit) {
  for (const std::string_view name : {"width", "height"}) {
    const std::string* text = attribute(root, name);
    if (text && parse_physical_mm(*text).value_or(0) > 0) return px_per_unit * base::kMmPerCssPx;
  }
  return 0;
}

geometry::Box mapped(const geometry::Box& box, const geometry::Affine& map) {
  geometry::Box out;
  out.add(map({box.x0, box.y0}));
  out.add(map({box.x1, box.y1}));
  return out;
}

}  // namespace

std::optional<geometry::Box> view_box(const Element& element) {
  const std::string* text = attribute(element, "viewBox");
  if (!text) return std::nullopt;
  const NumberList list = parse_numbers(*text);
  const auto& v = list.values;
  if (!list.complete || v.size() != 4 || !(v[2] > 0 && v[3] > 0)) return std::nullopt;
  return geometry::Box{v[0], v[1], v[0] + v[2], v[1] + v[3]};
}

geometry::Affine fit_view_box(const geometry::Box& box, const Viewport& place,
                              const std::string* preserve_aspect_ratio) {
  const Alignment alignment = alignment_of(preserve_aspect_ratio);
  double sx = place.width / box.width(), sy = place.height / box.height();
  if (!alignment.is_stretched) sx = sy = alignment.is_slice ? std::max(sx, sy) : std::min(sx, sy);
  const double spare_x = place.width - box.width() * sx, spare_y = place.height - box.height() * sy;
  return {sx, 0, 0, sy, spare_x * alignment.x - box.x0 * sx, spare_y * alignment.y - box.y0 * sy};
}

RootView root_view(const Element& root) {
  const auto width = size_of(root, "width"), height = size_of(root, "height");
  const auto box = view_box(root);
  RootView view;
  if (!box) {
    view.viewport = {width.value_or(100), height.value_or(100)};
    if (width && height) view.page = geometry::Box{0, 0, *width, *height};
    view.mm_per_unit = physical_scale(root, 1);
    return view;
  }
  view.viewport = {box->width(), box->height()};
  view.page = box;
  const double aspect = box->height() / box->width();
  const Viewport place{width    ? *width
                       : height ? *height / aspect
                                : box->width(),
                       height  ? *height
                       : width ? *width * aspect
                               : box->height()};
  const geometry::Affine fit = fit_view_box(*box, place, attribute(root, "preserveAspectRatio"));
  view.mm_per_unit = physical_scale(root, fit.a);
  if (std::abs(fit.d / fit.a - 1) > 1e-9) view.stretch = {1, 0, 0, fit.d / fit.a, 0, 0};
  // What of the plane the place shows: more than the viewBox where the aspects differ (meet), less
  // where it is cut (slice).
  const geometry::Box shown = mapped({0, 0, place.width, place.height}, inverse(fit));
  view.page = mapped(shown, view.stretch);
  return view;
}

}  // namespace buckram::artwork
