#include "artwork/svg_scene.h"

#include "artwork/svg_paint.h"
#include "artwork/svg_role.h"
#include "artwork/svg_text.h"
#include "artwork/svg_viewport.h"
#include "base/base.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <set>

namespace buckram::artwork {
namespace {

using geometry::Affine;
using geometry::compose;

// What holds for everything below an element.
struct Context {
  Style style;  // of the parent
  Affine to_root;
  Viewport viewport;
  int clip = -1;
  std::string prefix;  // of sources: the `use` elements passed through
  SceneLayer* out = nullptr;
  bool is_clip = false;  // inside clipPath: fills only, by the clip rule
};

class Builder {
 public:
  Builder(const XmlTree& tree, const SvgLimits& limits)
      : tree_(tree),
        limits_(limits),
        left_{static_cast<std::size_t>(limits.points), static_cast<std::size_t>(limits.letters)} {}

  Scene build() {
    collect_styles();
    const Element& root = tree_.elements.front();
    const RootView view = root_view(root);
    scene_.mm_per_unit = view.mm_per_unit;
    if (attribute(root, "viewBox") && !view_box(root))
      note("skipped", label(root), "its viewBox is not a box; the drawing's own units are used");
    Context context{{}, view.stretch, view.viewport, -1, "", &scene_.layer, false};
    if (view.page) context.clip = add_rect_clip(*view.page, {}, -1, true);
    visit(0, context);
    return std::move(scene_);
  }

 private:
  const Element& at(int element) const { return tree_.elements[static_cast<std::size_t>(element)]; }

  void note(std::string kind, std::string source, std::string why) {
    constexpr std::size_t kMostNotes = 300;
    Note entry{std::move(kind), std::move(source), {}, std::move(why)};
    if (scene_.notes.size() == kMostNotes)
      entry = {"skipped", "", {}, "and more of the same; the first 300 are listed"};
    if (scene_.notes.size() > kMostNotes) return;
    if (noted_.insert(entry.kind + '\n' + entry.source + '\n' + entry.why).second)
      scene_.notes.push_back(std::move(entry));
  }

  void collect_styles() {
    for (const Element& element : tree_.elements) {
      if (!element.is_svg || element.name != "style") continue;
      const std::string* type = attribute(element, "type");
      if (type && !type->empty() && lower_case(*type) != "text/css") continue;
      for (const std::string& unknown : sheet_.add(element.text))
        note("skipped", label(element), unknown);
    }
  }

  void count_visit(int element) {
    if (++visited_ > limits_.elements)
      throw base::Error{
          base::ErrorCode::bad_artwork,
          fmt::format("more than {} elements once `use` is followed", limits_.elements),
          label(at(element)), "simplify the drawing"};
    if (depth_ > limits_.depth)
      throw base::Error{base::ErrorCode::bad_artwork,
                        fmt::format("elements are nested more than {} deep", limits_.depth),
                        label(at(element)), "ungroup the drawing"};
  }

  std::string source_of(int element, const Context& context) const {
    return context.prefix + label(at(element));
  }

  // ---- one element -------------------------------------------------------------------------

  void visit(int element, const Context& outer) {
    const Element& e = at(element);
    if (!e.is_svg) return;  // editors' own data paint nothing
    const Role role = role_of(e.name);
    if (role == Role::unseen || role == Role::symbol) return;
    count_visit(element);
    ++depth_;
    Context context = outer;
    context.style = computed_style(tree_, element, sheet_, outer.style, outer.viewport);
    if (context.style.is_displayed && place(element, context))
      compose_element(element, role, context);
    --depth_;
  }

  // Applies the element's transform. False when nothing of it can show.
  bool place(int element, Context& context) {
    const std::string& text = context.style.transform;
    if (text.empty()) return true;
    const auto transform = parse_transform(text);
    if (!transform) {
      note("skipped", source_of(element, context),
           fmt::format("transform '{}' is not understood", text.substr(0, 60)));
      return true;
    }
    context.to_root = compose(context.to_root, *transform);
    return context.to_root.determinant() != 0;
  }

  void compose_element(int element, Role role, Context& context) {
    const Style style = context.style;
    if (!style.effects.empty() && !context.is_clip)
      note("skipped", source_of(element, context),
           fmt::format("drawn without its {}", style.effects));
    if (!cut(element, context)) return;
    SceneLayer& out = *context.out;
    const std::size_t first = out.items.size();
    paint(element, role, context);
    if (style.opacity >= 1 || context.is_clip || out.items.size() == first) return;
    if (style.opacity > 0) {
      out.groups.push_back({first, out.items.size(), style.opacity});
      return;
    }
    out.items.resize(first);
    std::erase_if(out.groups, [&](const SceneGroup& g) { return g.first >= first; });
  }

  void paint(int element, Role role, Context& context) {
    switch (role) {
      case Role::group:
        return visit_children(element, context);
      case Role::nested:
        return visit_nested(element, context);
      case Role::reference:
        return visit_use(element, context);
      case Role::choice:
        return visit_switch(element, context);
      case Role::shape:
        return add_shape(element, context);
      case Role::text:
        return add_text(element, context);
      case Role::image:
        return note("skipped", source_of(element, context),
                    "a picture inside the drawing: trace it into shapes");
      default:
        return note("skipped", source_of(element, context),
                    fmt::format("element {} is not understood", at(element).name));
    }
  }

  void visit_children(int element, const Context& context) {
    for (const int child : at(element).children) visit(child, context);
  }

  // ---- nested views, references, choices ----------------------------------------------------

  void visit_nested(int element, Context& context) {
    if (at(element).parent >= 0) {
      Viewport size{length(element, "width", context, true).value_or(context.viewport.width),
                    length(element, "height", context, false).value_or(context.viewport.height)};
      open_view(element, size, context);
    }
    visit_children(element, context);
  }

  std::optional<double> length(int element, std::string_view name, const Context& context,
                               bool is_x) {
    const std::string* text = attribute(at(element), name);
    if (!text) return std::nullopt;
    return parse_length(
        *text, {is_x ? context.viewport.width : context.viewport.height, context.style.font_size});
  }

  // Moves into the view of an inner svg or a symbol of this size.
  void open_view(int element, const Viewport& size, Context& context) {
    const Element& e = at(element);
    if (e.name == "svg")
      context.to_root =
          compose(context.to_root, {1, 0, 0, 1, length(element, "x", context, true).value_or(0),
                                    length(element, "y", context, false).value_or(0)});
    const auto box = view_box(e);
    if (!context.style.is_overflow_visible && (box || e.name == "svg"))
      context.clip =
          add_rect_clip({0, 0, size.width, size.height}, context.to_root, context.clip, false);
    context.viewport = size;
    if (!box) return;
    context.to_root =
        compose(context.to_root, fit_view_box(*box, size, attribute(e, "preserveAspectRatio")));
    context.viewport = {box->width(), box->height()};
  }

  void visit_use(int element, Context& context) {
    const Element& e = at(element);
    const std::string_view text = link_of(e);
    const std::string source = source_of(element, context);
    if (text.empty()) return;
    if (text.front() != '#')
      return note("skipped", source, "it refers to another file; other files are never opened");
    const auto found = tree_.by_id.find(text.substr(1));
    if (found == tree_.by_id.end())
      return note("skipped", source,
                  fmt::format("it refers to '{}', which is not in the file", text.substr(1, 60)));
    const int target = found->second;
    if (std::find(following_.begin(), following_.end(), target) != following_.end() ||
        holds(target, element))
      return note("skipped", source, "it refers to itself");
    following_.push_back(target);
    const Affine shift{1,
                       0,
                       0,
                       1,
                       length(element, "x", context, true).value_or(0),
                       length(element, "y", context, false).value_or(0)};
    const Viewport size{
        length(element, "width", context, true).value_or(context.viewport.width),
        length(element, "height", context, false).value_or(context.viewport.height)};
    context.to_root = compose(context.to_root, shift);
    context.prefix = base::shortened(source, 500) + "/";  // each item holds it
    if (at(target).name == "symbol")
      visit_symbol(target, size, context);
    else
      visit(target, context);
    following_.pop_back();
  }

  bool holds(int ancestor, int element) const {
    for (int e = element; e >= 0; e = at(e).parent)
      if (e == ancestor) return true;
    return false;
  }

  void visit_symbol(int element, const Viewport& size, Context context) {
    count_visit(element);
    ++depth_;
    context.style = computed_style(tree_, element, sheet_, context.style, context.viewport);
    if (context.style.is_displayed && place(element, context)) {
      open_view(element, size, context);
      compose_element(element, Role::group, context);
    }
    --depth_;
  }

  // SVG 1.1, 5.8.2: the first child whose conditions hold; extensions never do.
  void visit_switch(int element, const Context& context) {
    for (const int child : at(element).children) {
      const Element& e = at(child);
      const std::string* extensions = attribute(e, "requiredExtensions");
      const std::string* language = attribute(e, "systemLanguage");
      const bool is_other_tongue =
          language && lower_case(*language).find("en") == std::string::npos;
      if (!e.is_svg || extensions || is_other_tongue || role_of(e.name) == Role::foreign) continue;
      return visit(child, context);
    }
  }

  // ---- shapes --------------------------------------------------------------------------------

  void add_shape(int element, const Context& context) {
    const Style& style = context.style;
    if (!style.is_visible) return;
    auto parsed = outline_of(at(element), context.viewport, style.font_size, left_.points);
    BUCKRAM_ASSERT(parsed.has_value());
    const std::string source = source_of(element, context);
    if (!parsed->error.empty())
      note("skipped", source, fmt::format("{}; drawn up to there", parsed->error));
    add_item(std::move(parsed->outline), style, source, context);
  }

  void add_text(int element, const Context& context) {
    TextLayout layout =
        lay_text(tree_, element, sheet_, context.style, context.viewport, fonts_, left_);
    for (const TextRemark& remark : layout.remarks)
      note(remark.is_lost ? "skipped" : "font", source_of(remark.element, context),
           (remark.is_lost ? "text: " : "") + remark.why);
    for (TextRun& run : layout.runs) {
      run.style.fill_rule = run.style.clip_rule = geometry::FillRule::nonzero;
      if (run.style.is_visible)
        add_item(std::move(run.outline), run.style, text_source(run.element, context), context);
    }
  }

  // What the letters say, which is what people look for on the cap, unless the element has a name
  // of its own: editors number their texts ("tspan1234").
  std::string text_source(int element, const Context& context) const {
    static constexpr std::array<std::string_view, 4> kNoNames{"text", "tspan", "textPath", "a"};
    std::string name = label(at(element));
    std::erase_if(name, [](char c) { return (c >= '0' && c <= '9') || c == '[' || c == ']'; });
    std::string words;
    for (const char c : at(element).text) {
      const bool is_blank = c == ' ' || c == '\t' || c == '\n' || c == '\r' || c == '/';
      if (!is_blank)
        words += c;
      else if (!words.empty() && words.back() != ' ')
        words += ' ';
    }
    while (!words.empty() && words.back() == ' ') words.pop_back();
    const bool has_name = std::find(kNoNames.begin(), kNoNames.end(), name) == kNoNames.end();
    if (has_name || words.empty()) return source_of(element, context);
    return context.prefix + base::shortened(words, 60);
  }

  void add_item(Outline outline, const Style& style, const std::string& source,
                const Context& context) {
    for (const Subpath& subpath : outline) {
      // a start counts as a point too
      left_.points -= std::min(left_.points, subpath.steps.size() + 1);
    }
    if (left_.points == 0)
      throw base::Error{base::ErrorCode::bad_artwork,
                        fmt::format("more than {} points", limits_.points), source,
                        "simplify the drawing"};
    SceneItem item{std::move(outline), context.to_root,       {},           {},    style.fill_rule,
                   style.line,         style.is_stroke_first, context.clip, source};
    if (context.is_clip) {
      item.fill = Ink{};
      item.rule = style.clip_rule;
    } else {
      item.fill = ink_of(style.fill, style.fill_opacity, source, "fill", context);
      if (style.line.width > 0)
        item.stroke = ink_of(style.stroke, style.stroke_opacity, source, "stroke", context);
      if (style.has_marker) note("skipped", source, "drawn without its markers (arrow heads)");
      if (item.stroke && style.is_screen_stroke)
        item.line.width /= geometry::mean_scale(context.to_root);
    }
    if (!item.outline.empty() && (item.fill || item.stroke))
      context.out->items.push_back(std::move(item));
  }

  std::optional<Ink> ink_of(const Paint& paint, double opacity, const std::string& source,
                            std::string_view what, const Context& context) {
    if (paint.kind == Paint::Kind::none || opacity <= 0) return std::nullopt;
    Ink ink = paint.ink;
    if (paint.kind == Paint::Kind::server) {
      const MeanInk mean = mean_ink(tree_, sheet_, paint, context.viewport);
      if (!mean.remark.empty())
        note(mean.is_skipped ? "skipped" : "colour", source,
             fmt::format("{}: {}", what, mean.remark));
      if (!mean.ink) return std::nullopt;
      ink = *mean.ink;
    }
    ink.alpha *= opacity;
    return ink.alpha > 0 ? std::optional(ink) : std::nullopt;
  }

  // ---- clips ---------------------------------------------------------------------------------

  int add_rect_clip(const geometry::Box& box, const Affine& to_root, int parent, bool is_page) {
    SceneClip clip{parent, false, is_page, {}};
    SceneItem item;
    Subpath edge{{box.x0, box.y0}, {}, true};
    for (const geometry::Point p :
         {geometry::Point{box.x1, box.y0}, {box.x1, box.y1}, {box.x0, box.y1}})
      edge.steps.push_back({Step::Kind::line, false, false, {}, {}, p});
    item.outline.push_back(std::move(edge));
    item.to_root = to_root;
    item.fill = Ink{};
    clip.layer.items.push_back(std::move(item));
    scene_.clips.push_back(std::move(clip));
    return static_cast<int>(scene_.clips.size()) - 1;
  }

  // Applies the element's clip-path and mask. False when nothing can show.
  bool cut(int element, Context& context) {
    for (const bool is_mask : {false, true}) {
      const std::string id = is_mask ? context.style.mask : context.style.clip_path;
      if (id.empty()) continue;
      const auto found = tree_.by_id.find(id);
      const bool is_right = found != tree_.by_id.end() && at(found->second).is_svg &&
                            at(found->second).name == (is_mask ? "mask" : "clipPath");
      const std::string source = source_of(element, context);
      if (!is_right) {
        note("skipped", source,
             fmt::format("drawn whole: '{}' is not a {} of this file", id.substr(0, 60),
                         is_mask ? "mask" : "clip path"));
      } else if (std::find(following_.begin(), following_.end(), found->second) !=
                 following_.end()) {
        note("skipped", source, fmt::format("'{}' cuts itself", id.substr(0, 60)));
        return false;
      } else {
        if (is_mask)
          note("colour", source, "its mask is taken with a hard edge, where it is half bright");
        context.clip = add_clip(found->second, element, is_mask, context);
      }
    }
    return true;
  }

  int add_clip(int element, int target, bool is_mask, const Context& outer) {
    count_visit(element);  // clip paths may be clipped by clip paths without end
    following_.push_back(element);
    ++depth_;
    SceneLayer layer;
    Context context = outer;
    context.clip = -1;
    context.out = &layer;
    context.is_clip = !is_mask;
    context.style = computed_style(tree_, element, sheet_, Style{}, outer.viewport);
    const std::string* units =
        attribute(at(element), is_mask ? "maskContentUnits" : "clipPathUnits");
    if (units && *units == "objectBoundingBox") {
      const geometry::Box box = own_box(target, outer);
      context.to_root =
          box.empty() ? Affine{0, 0, 0, 0, 0, 0}
                      : compose(context.to_root, {box.width(), 0, 0, box.height(), box.x0, box.y0});
      context.viewport = {1, 1};
    }
    if (!is_mask) place(element, context);
    const bool is_cut = cut(element, context);  // a clip path may itself be clipped
    if (is_cut && context.to_root.determinant() != 0) visit_children(element, context);
    --depth_;
    following_.pop_back();
    scene_.clips.push_back({outer.clip, is_mask, false, std::move(layer)});
    return static_cast<int>(scene_.clips.size()) - 1;
  }

  // Box of what an element draws, in its own user space, without strokes and clips.
  geometry::Box own_box(int element, const Context& outer) {
    SceneLayer layer;
    Context context = outer;
    context.out = &layer;
    context.is_clip = true;
    context.to_root = {};
    Style& style = context.style;
    style.clip_path.clear(), style.mask.clear();
    ++depth_;
    paint(element, role_of(at(element).name), context);
    --depth_;
    geometry::Box box;
    for (const SceneItem& item : layer.items) box.add(rough_box(item.outline, item.to_root));
    return box;
  }

  const XmlTree& tree_;
  const SvgLimits& limits_;
  StyleSheet sheet_;
  LoadedFonts fonts_;
  Scene scene_;
  std::set<std::string> noted_;
  std::vector<int> following_;  // targets of `use`, clip paths and masks being drawn
  WorkLeft left_;
  int visited_ = 0;
  int depth_ = 0;
};

}  // namespace

Scene build_scene(const XmlTree& tree, const SvgLimits& limits) {
  return Builder(tree, limits).build();
}

}  // namespace buckram::artwork
