#include "artwork/svg_assemble.h"

#include "base/base.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <map>

namespace buckram::artwork {
namespace {

using geometry::Affine;
using geometry::compose;
using geometry::Polygons;

// Booleans snap to a grid meant for millimetres: all areas are worked out with the scene's larger
// side brought to this many units.
constexpr double kWorkSize = 100;
constexpr double kTolerance = kWorkSize / 4000;
// Above this a shape is taken as opaque: no thread shows the difference.
constexpr double kOpaque = 0.95;
constexpr double kHalf = 0.5;
constexpr double kMaskThreshold = 0.5;
constexpr double kLeastArea = 1e-5;  // work units squared: rounding

Affine scaling(double k) {
  return {k, 0, 0, k, 0, 0};
}

geometry::Box box_of(const Scene& scene) {
  geometry::Box box;
  for (const SceneItem& item : scene.layer.items) {
    geometry::Box own = rough_box(item.outline, item.to_root);
    if (own.empty()) continue;
    const double half = item.stroke ? item.line.width / 2 * geometry::mean_scale(item.to_root) : 0;
    own = {own.x0 - half, own.y0 - half, own.x1 + half, own.y1 + half};
    box.add(own);
  }
  return box;
}

// One dash: a piece of the line.
std::vector<geometry::Polyline> dashed(const geometry::Polyline& line, bool closed,
                                       const StrokeLook& look) {
  std::vector<double> dashes = look.dashes;
  if (dashes.size() % 2 == 1) dashes.insert(dashes.end(), look.dashes.begin(), look.dashes.end());
  double period = 0;
  for (const double d : dashes) period += d;
  const geometry::ArcLength along(line, closed);
  constexpr double kMostDashes = 20'000;
  std::vector<geometry::Polyline> pieces;
  if (period <= 0 || along.length() / period > kMostDashes) return {line};
  double s = -std::fmod(look.dash_offset, period);
  if (s > 0) s -= period;
  for (std::size_t i = 0; s < along.length(); s += dashes[i], i = (i + 1) % dashes.size()) {
    const double from = std::max(s, 0.0), to = std::min(s + dashes[i], along.length());
    if (i % 2 == 1 || to < from || s + dashes[i] <= 0) continue;
    geometry::Polyline piece{along.at(from)};
    double at = 0;
    for (std::size_t k = 1; k < along.points().size(); ++k) {
      at += geometry::distance(along.points()[k - 1], along.points()[k]);
      if (at > from && at < to) piece.push_back(along.points()[k]);
    }
    piece.push_back(along.at(to));
    pieces.push_back(std::move(piece));
  }
  return pieces;
}

class Assembler {
 public:
  Assembler(const Scene& scene, const SvgLimits& limits, double scale)
      : scene_(scene), scale_(scale), points_left_(limits.points), limits_(limits) {}

  std::vector<Shape> shapes() { return layer_shapes(scene_.layer); }
  std::vector<Note> take_notes() { return std::move(notes_); }

 private:
  struct Area {
    Polygons area;
    std::vector<MiddleLine> middle_lines;
  };

  void count(std::size_t points) {
    points_left_ -= static_cast<std::ptrdiff_t>(points);
    if (points_left_ >= 0) return;
    throw base::Error{base::ErrorCode::bad_artwork,
                      fmt::format("more than {} points once curves are drawn", limits_.points), "",
                      "simplify the drawing"};
  }

  geometry::Polyline flat(const Subpath& subpath, double unit) {
    geometry::Polyline line = flattened(subpath, kTolerance / unit);
    count(line.size());
    return line;
  }

  Polygons fill_area(const SceneItem& item) {
    const Affine map = compose(scaling(scale_), item.to_root);
    const double unit = std::max(geometry::mean_scale(map), 1e-12);
    std::vector<geometry::Ring> rings;
    for (const Subpath& subpath : item.outline) {
      geometry::Ring ring = geometry::transformed(flat(subpath, unit), map);
      if (ring.size() >= 3) rings.push_back(std::move(ring));
    }
    return geometry::unite(rings, item.rule);
  }

  // Outlined in the item's own space, made as large as it will be, then bent by what is left of the
  // map: a stroke under a skewed transform is skewed.
  Area stroke_area(const SceneItem& item) {
    const Affine map = compose(scaling(scale_), item.to_root);
    const double unit = std::max(geometry::mean_scale(map), 1e-12);
    const Affine bend = compose(map, scaling(1 / unit));
    const StrokeLook& look = item.line;
    std::vector<Polygons> pieces;
    Area result;
    for (const Subpath& subpath : item.outline) {
      const geometry::Polyline line = geometry::transformed(flat(subpath, unit), scaling(unit));
      const bool is_dashed = !look.dashes.empty();
      StrokeLook scaled = look;
      for (double& d : scaled.dashes) d *= unit;
      scaled.dash_offset *= unit;
      const std::vector<geometry::Polyline> lines =
          is_dashed ? dashed(line, subpath.closed, scaled) : std::vector<geometry::Polyline>{line};
      for (const geometry::Polyline& each : lines) {
        pieces.push_back(geometry::stroke_outline(each, look.width * unit,
                                                  subpath.closed && !is_dashed, look.join, look.cap,
                                                  look.miter_limit, kTolerance / 2));
        for (const geometry::Polygon& polygon : pieces.back()) count(polygon.outer.size());
      }
      if (!is_dashed && line.size() > 1) {
        result.middle_lines.push_back(
            {geometry::transformed(line, bend), look.width * unit, subpath.closed});
      }
    }
    const Polygons all = geometry::transformed(geometry::unite(pieces), bend);
    result.area = geometry::unite(all, {});
    return result;
  }

  // Everything the clip lets show; `nothing` when there is no clip.
  const Polygons& clip_area(int clip) {
    const auto known = clip_areas_.find(clip);
    if (known != clip_areas_.end()) return known->second;
    const SceneClip& made = scene_.clips[static_cast<std::size_t>(clip)];
    Polygons area = made.is_mask ? mask_area(made.layer) : union_of_fills(made.layer);
    if (made.parent >= 0) area = geometry::intersect(area, clip_area(made.parent));
    return clip_areas_.emplace(clip, std::move(area)).first->second;
  }

  Polygons union_of_fills(const SceneLayer& layer) {
    std::vector<Polygons> all;
    for (const SceneItem& item : layer.items) all.push_back(clipped(fill_area(item), item.clip));
    return geometry::unite(all);
  }

  // Where the mask is at least half bright (SVG 1.1, 14.4: linear luminance times alpha).
  Polygons mask_area(const SceneLayer& layer) {
    Polygons bright;
    for (const Shape& shape : layer_shapes(layer)) {
      const auto linear = [](double v) {
        v /= 255;
        return v <= 0.04045 ? v / 12.92 : std::pow((v + 0.055) / 1.055, 2.4);
      };
      const double light = 0.2125 * linear(shape.colour.r) + 0.7154 * linear(shape.colour.g) +
                           0.0721 * linear(shape.colour.b);
      bright = light >= kMaskThreshold ? geometry::unite(bright, shape.area)
                                       : geometry::subtract(bright, shape.area);
    }
    return bright;
  }

  Polygons clipped(Polygons area, int clip) {
    return clip < 0 ? area : geometry::intersect(area, clip_area(clip));
  }

  std::vector<Shape> layer_shapes(const SceneLayer& layer) {
    std::vector<Shape> shapes;
    std::vector<std::size_t> start;  // shapes there were before each item
    std::size_t next_group = 0;
    for (std::size_t i = 0; i < layer.items.size(); ++i) {
      start.push_back(shapes.size());
      add_item(layer.items[i], shapes);
      while (next_group < layer.groups.size() && layer.groups[next_group].last == i + 1) {
        const SceneGroup& group = layer.groups[next_group++];
        fade(shapes, start[group.first], group.opacity);
      }
    }
    return shapes;
  }

  void add_item(const SceneItem& item, std::vector<Shape>& shapes) {
    const auto paint_fill = [&] {
      if (item.fill) add({fill_area(item), {}}, *item.fill, item, shapes);
    };
    const auto paint_stroke = [&] {
      if (item.stroke) add(stroke_area(item), *item.stroke, item, shapes);
    };
    if (item.is_stroke_first) paint_stroke();
    paint_fill();
    if (!item.is_stroke_first) paint_stroke();
  }

  void add(Area area, const Ink& ink, const SceneItem& item, std::vector<Shape>& shapes) {
    Shape shape;
    shape.area = clipped(std::move(area.area), item.clip);
    if (geometry::area(shape.area) <= kLeastArea) return;
    shape.colour = ink.colour;
    shape.source = item.source;
    shape.middle_lines = std::move(area.middle_lines);
    shapes.push_back(std::move(shape));
    if (ink.alpha < kOpaque) fade(shapes, shapes.size() - 1, ink.alpha);
  }

  // The shapes from `first` on, composited as one over those before at the given opacity, as
  // opaque pieces.
  void fade(std::vector<Shape>& shapes, std::size_t first, double opacity) {
    if (opacity >= kOpaque || first >= shapes.size()) return;
    std::vector<Shape> top(std::make_move_iterator(shapes.begin() + static_cast<long>(first)),
                           std::make_move_iterator(shapes.end()));
    shapes.resize(first);
    Polygons hidden;
    std::vector<Shape> pieces;
    for (std::size_t i = top.size(); i-- > 0;) {
      Shape& shape = top[i];
      const Polygons shows = geometry::subtract(shape.area, hidden);
      hidden = geometry::unite(hidden, shape.area);
      blend_over(shape, shows, shapes, opacity, pieces);
    }
    shapes.insert(shapes.end(), std::make_move_iterator(pieces.rbegin()),
                  std::make_move_iterator(pieces.rend()));
  }

  void blend_over(const Shape& shape, Polygons shows, const std::vector<Shape>& beneath,
                  double opacity, std::vector<Shape>& pieces) {
    const auto put = [&](Polygons area, Rgb colour) {
      if (geometry::area(area) > kLeastArea) {
        pieces.push_back({std::move(area), colour, shape.source, {}});
      }
    };
    for (std::size_t i = beneath.size(); i-- > 0 && !shows.empty();) {
      if (!geometry::bounds(shows).meets(geometry::bounds(beneath[i].area))) continue;
      put(geometry::intersect(shows, beneath[i].area),
          blended(shape.colour, beneath[i].colour, opacity));
      shows = geometry::subtract(shows, beneath[i].area);
    }
    if (geometry::area(shows) <= kLeastArea) return;
    if (opacity < kHalf) {
      notes_.push_back({"colour",
                        shape.source,
                        {},
                        fmt::format("only {:.0f} % opaque over bare cloth; sewn in its full colour",
                                    100 * opacity)});
    }
    put(std::move(shows), shape.colour);
  }

  static Rgb blended(Rgb top, Rgb below, double opacity) {
    const auto mix = [&](int a, int b) {
      return static_cast<std::uint8_t>(std::lround(a * opacity + b * (1 - opacity)));
    };
    return {mix(top.r, below.r), mix(top.g, below.g), mix(top.b, below.b)};
  }

  const Scene& scene_;
  double scale_;
  std::ptrdiff_t points_left_;
  const SvgLimits& limits_;
  std::map<int, Polygons> clip_areas_;
  std::vector<Note> notes_;
};

}  // namespace

Drawing assemble(const Scene& scene, const std::string& name, const SvgLimits& limits) {
  const auto nothing = [&] {
    throw base::Error{base::ErrorCode::bad_artwork, "paints nothing that can be sewn", name,
                      scene.notes.empty()
                          ? "Give it a filled shape or a stroke"
                          : scene.notes.front().source + ": " + scene.notes.front().why};
  };
  const geometry::Box box = box_of(scene);
  const double size = std::max(box.width(), box.height());
  if (box.empty() || !(size > 0)) nothing();
  if (!std::isfinite(size) || size > 2 * limits.coordinate) {
    throw base::Error{base::ErrorCode::bad_artwork,
                      fmt::format("is {:g} units large; {:g} at most", size, 2 * limits.coordinate),
                      name, "Scale the drawing down"};
  }
  const double scale = kWorkSize / size;
  Assembler assembler(scene, limits, scale);
  Drawing drawing;
  drawing.shapes = assembler.shapes();
  if (drawing.shapes.empty()) nothing();
  drawing.notes = scene.notes;
  for (Note& note : assembler.take_notes()) drawing.notes.push_back(std::move(note));
  drawing.mm_per_unit = scene.mm_per_unit;
  const Affine back = scaling(1 / scale);
  for (Shape& shape : drawing.shapes) {
    shape.area = geometry::transformed(shape.area, back);
    for (MiddleLine& line : shape.middle_lines) {
      line.line = geometry::transformed(line.line, back);
      line.width /= scale;
    }
    drawing.painted.add(geometry::bounds(shape.area));
  }
  return drawing;
}

}  // namespace buckram::artwork
