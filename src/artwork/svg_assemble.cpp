#include "artwork/svg_assemble.h"

#include "artwork/middle_line.h"
#include "artwork/opacity.h"
#include "artwork/stroke.h"
#include "artwork/work_limit.h"
#include "base/base.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

namespace buckram::artwork {
namespace {

using geometry::Affine;
using geometry::Box;
using geometry::Polygons;

// Curves are flattened to this share of the painted box's larger side.
constexpr double kFineness = 1.0 / 4000;
constexpr double kLeastArea = 1e-4;  // work units squared, of a million: rounding

Box intersection(const Box& a, const Box& b) {
  return {std::max(a.x0, b.x0), std::max(a.y0, b.y0), std::min(a.x1, b.x1), std::min(a.y1, b.y1)};
}

double luminance(const Ink& ink) {  // SVG 1.1, 14.4: of the linear colour; half bright is sRGB 188
  const Lab lab = to_lab(ink.colour);
  const double y = lab.l > 8 ? std::pow((lab.l + 16) / 116, 3) : lab.l / 903.3;
  return y * ink.alpha;
}

class Assembler {
 public:
  Assembler(Scene scene, const std::string& name, const SvgLimits& limits)
      : scene_(std::move(scene)), name_(name), limits_(limits) {}

  Drawing run() {
    find_scale();
    Drawing drawing;
    drawing.notes = std::move(scene_.notes);
    drawing.mm_per_unit = scene_.mm_per_unit;
    std::vector<GlassShape> shapes;
    first_shape_.push_back(0);
    for (const SceneItem& item : scene_.layer.items) {
      paint(item, shapes);
      first_shape_.push_back(shapes.size());
    }
    for (const SceneGroup& group : scene_.layer.groups) composite(group, shapes);
    drawing.shapes = opaque_pieces(std::move(shapes), kLeastArea, work_, drawing.notes);
    std::erase_if(drawing.shapes,
                  [](const Shape& s) { return geometry::area(s.area) <= kLeastArea; });
    for (Shape& shape : drawing.shapes) {
      to_user_units(shape);
      drawing.painted.add(geometry::bounds(shape.area));
    }
    if (drawing.shapes.empty()) refuse_empty(drawing.notes);
    return drawing;
  }

 private:
  // ---- size ----------------------------------------------------------------------------------

  // Work units are user units times a power of two, chosen so that the painted box is 512 to 1024
  // of them: the grid that booleans snap to is then as fine for a thumbnail as for a poster.
  void find_scale() {
    Box box;
    for (const SceneItem& item : scene_.layer.items) box.add(item_box(item));
    const double size = std::max(box.width(), box.height());
    if (box.empty() || !(size > 0)) refuse_empty(scene_.notes);
    if (!(size <= 2 * limits_.coordinate)) refuse_far("", size);
    scale_ = std::exp2(std::floor(std::log2(1024 / size)));
    tolerance_ = size * scale_ * kFineness;
  }

  Box item_box(const SceneItem& item) {
    Box box = rough_box(item.outline, item.to_root);
    if (item.stroke) {
      const double reach = item.line.width / 2 * stretch_of(item.to_root).most;
      box = {box.x0 - reach, box.y0 - reach, box.x1 + reach, box.y1 + reach};
    }
    for (int c = item.clip; c >= 0 && !box.empty();
         c = scene_.clips[static_cast<std::size_t>(c)].parent) {
      const SceneClip& clip = scene_.clips[static_cast<std::size_t>(c)];
      Box opening;
      for (const SceneItem& part : clip.layer.items)
        opening.add(rough_box(part.outline, part.to_root));
      box = intersection(box, opening);
    }
    return box.empty() ? Box{} : box;
  }

  [[noreturn]] void refuse_empty(const std::vector<Note>& notes) const {
    std::string hint = "check that shapes have a fill or a stroke and lie on the page";
    if (!notes.empty())
      hint = fmt::format("what was passed over: {}: {}", notes.front().source, notes.front().why);
    throw base::Error{base::ErrorCode::bad_artwork, "it paints nothing that can be sewn", name_,
                      hint};
  }

  [[noreturn]] void refuse_far(const std::string& source, double value) const {
    throw base::Error{base::ErrorCode::bad_artwork,
                      fmt::format("a coordinate of {:.3g} user units; at most {:.3g} are read",
                                  value, limits_.coordinate),
                      source.empty() ? name_ : source, "scale the drawing down"};
  }

  // ---- areas ---------------------------------------------------------------------------------

  Affine to_work(const Affine& to_root) const {
    return geometry::compose({scale_, 0, 0, scale_, 0, 0}, to_root);
  }

  void count_points(std::size_t n, const std::string& source) {
    points_ += n;
    if (points_ <= static_cast<std::size_t>(limits_.points)) return;
    throw base::Error{base::ErrorCode::bad_artwork,
                      fmt::format("more than {} points", limits_.points), source,
                      "simplify the drawing"};
  }

  void check_reach(const SceneItem& item) const {
    Box box = rough_box(item.outline, item.to_root);
    if (box.empty() && !item.outline.empty()) refuse_far(item.source, INFINITY);
    for (const double v : {box.x0, box.y0, box.x1, box.y1}) {
      if (!(std::abs(v) <= limits_.coordinate)) refuse_far(item.source, v);
      // Clipped away, but so far that the sweep could not hold it.
      if (!(std::abs(v) * scale_ <= 9e4)) refuse_far(item.source, v);
    }
  }

  Polygons fill_area(const SceneItem& item) {
    const Affine map = to_work(item.to_root);
    const Stretch stretch = stretch_of(map);
    if (!(stretch.least > 0)) return {};
    std::vector<geometry::Ring> rings;
    for (const Subpath& subpath : item.outline) {
      geometry::Ring ring =
          geometry::transformed(flattened(subpath, tolerance_ / stretch.most), map);
      count_points(ring.size(), item.source);
      if (ring.size() > 2) rings.push_back(std::move(ring));
    }
    work_.spend(rings, item.source);
    return geometry::unite(rings, item.rule);
  }

  Polygons clipped(Polygons area, int clip, const std::string& source) {
    if (clip < 0 || area.empty()) return area;
    const Polygons& opening = clip_area(clip);
    work_.spend(area, opening, source);
    return geometry::intersect(area, opening);
  }

  const Polygons& clip_area(int index) {
    if (const auto found = clip_areas_.find(index); found != clip_areas_.end())
      return found->second;
    const SceneClip& clip = scene_.clips[static_cast<std::size_t>(index)];
    Polygons area;
    for (const SceneItem& item : clip.layer.items) {
      if (!clip.is_mask) check_reach(item);
      if (!clip.is_mask) {
        std::vector<Polygons> both = {std::move(area),
                                      clipped(fill_area(item), item.clip, item.source)};
        area = both[0].empty() ? std::move(both[1]) : geometry::unite(both);
        continue;
      }
      std::vector<GlassShape> shapes;
      paint(item, shapes);
      for (const auto& [shape, opacity] : shapes)
        area = luminance({shape.colour, opacity}) >= 0.5 ? geometry::unite(area, shape.area)
                                                         : geometry::subtract(area, shape.area);
    }
    if (clip.parent >= 0) area = clipped(std::move(area), clip.parent, name_);
    return clip_areas_.emplace(index, std::move(area)).first->second;
  }

  // The shapes of one item, lower one first, in work units.
  void paint(const SceneItem& item, std::vector<GlassShape>& out) {
    if (item_box(item).empty()) return;
    check_reach(item);
    const std::size_t first = out.size();
    if (item.fill) add_fill(item, out);
    if (item.stroke) add_stroke(item, out);
    if (item.is_stroke_first)
      std::reverse(out.begin() + static_cast<std::ptrdiff_t>(first), out.end());
  }

  void add_fill(const SceneItem& item, std::vector<GlassShape>& out) {
    Shape shape;
    shape.area = clipped(fill_area(item), item.clip, item.source);
    shape.colour = item.fill->colour;
    shape.source = item.source;
    if (!shape.area.empty()) out.push_back({std::move(shape), item.fill->alpha});
  }

  void add_stroke(const SceneItem& item, std::vector<GlassShape>& out) {
    StrokePaint stroke =
        stroke_area(item.outline, item.line, to_work(item.to_root), tolerance_, work_, item.source);
    for (const geometry::Polygon& polygon : stroke.area)
      count_points(polygon.outer.size(), item.source);
    Shape shape;
    shape.area = clipped(stroke.area, item.clip, item.source);
    if (shape.area.empty()) return;
    shape.colour = item.stroke->colour;
    shape.source = item.source;
    for (std::size_t i = 0; i < stroke.lines.size() && stroke.width > 0; ++i)
      shape.middle_lines.push_back({std::move(stroke.lines[i]), stroke.width, stroke.is_closed[i]});
    if (item.clip >= 0 && !shape.middle_lines.empty())
      shape.middle_lines = whole_parts(shape.middle_lines, stroke.area, shape.area);
    out.push_back({std::move(shape), item.stroke->alpha});
  }

  // ---- opacity -------------------------------------------------------------------------------

  // A group is composited as one: what its own later parts hide stays hidden at any opacity.
  void composite(const SceneGroup& group, std::vector<GlassShape>& shapes) {
    const std::size_t first = first_shape_[group.first], last = first_shape_[group.last];
    for (std::size_t i = first; i < last; ++i) {
      Shape& lower = shapes[i].shape;
      for (std::size_t j = i + 1; j < last && !lower.area.empty(); ++j) {
        const Shape& upper = shapes[j].shape;
        if (shapes[j].opacity < kOpaque) continue;
        if (!geometry::bounds(lower.area).meets(geometry::bounds(upper.area))) continue;
        work_.spend(lower.area, upper.area, lower.source);
        Polygons left = geometry::subtract(lower.area, upper.area);
        lower.middle_lines = whole_parts(lower.middle_lines, lower.area, left);
        lower.area = std::move(left);
      }
    }
    for (std::size_t i = first; i < last; ++i) shapes[i].opacity *= group.opacity;
  }

  // Exact: the scale is a power of two.
  void to_user_units(Shape& shape) const {
    const double k = 1 / scale_;
    const auto shrink = [k](std::vector<geometry::Point>& line) {
      for (geometry::Point& p : line) p = p * k;
    };
    for (geometry::Polygon& polygon : shape.area) {
      shrink(polygon.outer);
      for (geometry::Ring& hole : polygon.holes) shrink(hole);
    }
    for (MiddleLine& middle : shape.middle_lines) {
      shrink(middle.line);
      middle.width *= k;
    }
  }

  Scene scene_;
  const std::string& name_;
  const SvgLimits& limits_;
  WorkLimit work_;
  double scale_ = 1;
  double tolerance_ = 1;
  std::size_t points_ = 0;
  std::vector<std::size_t> first_shape_;  // of each item, and the end
  std::map<int, Polygons> clip_areas_;
};

}  // namespace

Drawing assemble(Scene scene, const std::string& name, const SvgLimits& limits) {
  return Assembler(std::move(scene), name, limits).run();
}

}  // namespace buckram::artwork
