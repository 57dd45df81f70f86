#include "artwork/svg_style.h"

#include "artwork/css_font.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace buckram::artwork {
namespace {

using std::string_view;

struct Surroundings {
  const Style& parent;
  Viewport viewport;
};

double opacity_of(string_view text, double otherwise) {
  Scanner in(text);
  const auto value = in.number();
  if (!value) return otherwise;
  return std::clamp(in.skip('%') ? *value / 100 : *value, 0.0, 1.0);
}

void set_length(double& target, string_view text, const Style& style, const Surroundings& around) {
  const auto value = parse_length(text, {around.viewport.diagonal(), style.font_size});
  if (value && *value >= 0) target = *value;
}

// SVG 1.1, 11.2: none, a colour, currentColor, or a reference with an optional fallback.
Paint parse_paint(string_view text, const Style& style, const Paint& otherwise) {
  const std::string lower = lower_case(trimmed(text));
  if (lower == "none") return {};
  if (lower == "currentcolor") return {Paint::Kind::colour, style.colour, "", false};
  if (lower.starts_with("url(")) {
    Paint paint{Paint::Kind::server, {}, local_reference(text), false};
    const auto close = text.find(')');
    const string_view rest = trimmed(text.substr(std::min(close, text.size() - 1) + 1));
    if (lower_case(rest) == "currentcolor") paint.ink = style.colour, paint.has_fallback = true;
    if (const auto ink = parse_colour(rest)) paint.ink = *ink, paint.has_fallback = true;
    return paint;
  }
  const auto ink = parse_colour(text);
  return ink ? Paint{Paint::Kind::colour, *ink, "", false} : otherwise;
}

geometry::FillRule rule_of(string_view v, geometry::FillRule otherwise) {
  if (v == "evenodd") return geometry::FillRule::evenodd;
  return v == "nonzero" ? geometry::FillRule::nonzero : otherwise;
}

void set_cap(Style& s, string_view v, const Surroundings&) {
  if (v == "butt") s.line.cap = geometry::Cap::butt;
  if (v == "round") s.line.cap = geometry::Cap::round;
  if (v == "square") s.line.cap = geometry::Cap::square;
}

// miter-clip and arcs (SVG 2) are drawn as miter, their closest kin.
void set_join(Style& s, string_view v, const Surroundings&) {
  if (v == "miter" || v == "miter-clip" || v == "arcs") s.line.join = geometry::Join::miter;
  if (v == "round") s.line.join = geometry::Join::round;
  if (v == "bevel") s.line.join = geometry::Join::bevel;
}

// SVG 1.1, 11.4: an odd list is read twice; a negative entry or a sum of zero means solid.
void set_dashes(Style& s, string_view v, const Surroundings& around) {
  s.line.dashes.clear();
  if (v == "none") return;
  std::string spaced(v);
  std::replace(spaced.begin(), spaced.end(), ',', ' ');
  double sum = 0;
  std::vector<double> dashes;
  for (const string_view word : words_of(spaced)) {
    const auto length = parse_length(word, {around.viewport.diagonal(), s.font_size});
    if (!length || *length < 0 || dashes.size() >= 1000) return;
    dashes.push_back(*length);
    sum += *length;
  }
  if (!(sum > 0)) return;
  if (dashes.size() % 2 == 1) dashes.insert(dashes.end(), dashes.begin(), dashes.end());
  s.line.dashes = std::move(dashes);
}

void set_dash_offset(Style& s, string_view v, const Surroundings& around) {
  if (const auto d = parse_length(v, {around.viewport.diagonal(), s.font_size}))
    s.line.dash_offset = *d;
}

void set_colour(Style& s, string_view v, const Surroundings& around) {
  if (lower_case(v) == "currentcolor")
    s.colour = around.parent.colour;
  else if (const auto ink = parse_colour(v))
    s.colour = *ink;
}

void set_stop_colour(Style& s, string_view v, const Surroundings&) {
  if (lower_case(v) == "currentcolor")
    s.stop_colour = s.colour;
  else if (const auto ink = parse_colour(v))
    s.stop_colour = *ink;
}

void set_paint_order(Style& s, string_view v, const Surroundings&) {
  const auto words = words_of(v);
  for (const string_view word : words) {
    if (word == "markers") continue;
    s.is_stroke_first = word == "stroke";
    return;
  }
}

void set_miter_limit(Style& s, string_view v, const Surroundings&) {
  Scanner in(v);
  const auto limit = in.number();
  if (limit && *limit >= 1) s.line.miter_limit = std::min(*limit, 1e6);
}

void set_font_size(Style& s, string_view v, const Surroundings& around) {
  constexpr double kMedium = 16;
  const double em = around.parent.font_size;
  if (const auto worded = parse_worded_size(v)) {
    s.font_size = worded->factor * (worded->is_relative ? em : kMedium);
    return;
  }
  const auto size = parse_length(v, {em, em});
  if (size && *size > 0) s.font_size = *size;
}

void set_effect(Style& s, string_view v, string_view name) {
  if (v == "none" || v == "normal" || v == "baseline" || v == "0") return;
  if (!s.effects.empty()) s.effects += ", ";
  s.effects += name;
}

void set_font(Style& s, string_view v, const Surroundings& around) {
  const auto font = parse_font(v, s.text.font.weight);
  if (!font) return;
  set_font_size(s, font->size, around);
  s.text.font = font->wish;
}

void set_weight(Style& s, string_view v, const Surroundings& around) {
  s.text.font.weight = parse_weight(v, around.parent.text.font.weight).value_or(s.text.font.weight);
}

void set_anchor(Style& s, string_view v, const Surroundings&) {
  if (v == "start") s.text.anchor = 0;
  if (v == "middle") s.text.anchor = 0.5;
  if (v == "end") s.text.anchor = 1;
}

void set_spacing(double& target, string_view v, const Style& s) {
  if (v == "normal") target = 0;
  if (const auto d = parse_length(v, {s.font_size, s.font_size})) target = *d;
}

void set_baseline(Style& s, string_view v, const Surroundings&) {
  using enum TextLook::Baseline;
  if (v == "auto" || v == "alphabetic" || v == "baseline") s.text.baseline = alphabetic;
  if (v == "middle") s.text.baseline = middle;
  if (v == "central") s.text.baseline = central;
  if (v == "hanging" || v == "text-before-edge" || v == "text-top") s.text.baseline = hanging;
  if (v == "text-after-edge" || v == "text-bottom" || v == "ideographic") s.text.baseline = bottom;
}

struct Property {
  string_view name;
  bool is_inherited;
  void (*set)(Style&, string_view value, const Surroundings&);  // nullptr: an effect, named only
  void (*copy)(Style& to, const Style& from);  // for the keywords inherit and initial
};

#define BUCKRAM_COPY(member) [](Style& to, const Style& from) { to.member = from.member; }
// `color`, `font` and `font-size` come first: others refer to them.
constexpr auto kProperties = std::to_array<Property>({
    {"color", true, set_colour, BUCKRAM_COPY(colour)},
    {"font", true, set_font,
     [](Style& to, const Style& from) {
       to.font_size = from.font_size;
       to.text.font = from.text.font;
     }},
    {"font-size", true, set_font_size, BUCKRAM_COPY(font_size)},
    {"font-family", true,
     [](Style& s, string_view v, const Surroundings&) { s.text.font.families = parse_families(v); },
     BUCKRAM_COPY(text.font.families)},
    {"font-weight", true, set_weight, BUCKRAM_COPY(text.font.weight)},
    {"font-style", true,
     [](Style& s, string_view v, const Surroundings&) { s.text.font.is_italic = v != "normal"; },
     BUCKRAM_COPY(text.font.is_italic)},
    {"text-anchor", true, set_anchor, BUCKRAM_COPY(text.anchor)},
    {"letter-spacing", true,
     [](Style& s, string_view v, const Surroundings&) { set_spacing(s.text.letter_spacing, v, s); },
     BUCKRAM_COPY(text.letter_spacing)},
    {"word-spacing", true,
     [](Style& s, string_view v, const Surroundings&) { set_spacing(s.text.word_spacing, v, s); },
     BUCKRAM_COPY(text.word_spacing)},
    {"dominant-baseline", true, set_baseline, BUCKRAM_COPY(text.baseline)},
    {"fill", true,
     [](Style& s, string_view v, const Surroundings&) { s.fill = parse_paint(v, s, s.fill); },
     BUCKRAM_COPY(fill)},
    {"stroke", true,
     [](Style& s, string_view v, const Surroundings&) { s.stroke = parse_paint(v, s, s.stroke); },
     BUCKRAM_COPY(stroke)},
    {"fill-opacity", true,
     [](Style& s, string_view v, const Surroundings&) {
       s.fill_opacity = opacity_of(v, s.fill_opacity);
     },
     BUCKRAM_COPY(fill_opacity)},
    {"stroke-opacity", true,
     [](Style& s, string_view v, const Surroundings&) {
       s.stroke_opacity = opacity_of(v, s.stroke_opacity);
     },
     BUCKRAM_COPY(stroke_opacity)},
    {"fill-rule", true,
     [](Style& s, string_view v, const Surroundings&) { s.fill_rule = rule_of(v, s.fill_rule); },
     BUCKRAM_COPY(fill_rule)},
    {"clip-rule", true,
     [](Style& s, string_view v, const Surroundings&) { s.clip_rule = rule_of(v, s.clip_rule); },
     BUCKRAM_COPY(clip_rule)},
    {"stroke-width", true,
     [](Style& s, string_view v, const Surroundings& a) { set_length(s.line.width, v, s, a); },
     BUCKRAM_COPY(line.width)},
    {"stroke-linecap", true, set_cap, BUCKRAM_COPY(line.cap)},
    {"stroke-linejoin", true, set_join, BUCKRAM_COPY(line.join)},
    {"stroke-miterlimit", true, set_miter_limit, BUCKRAM_COPY(line.miter_limit)},
    {"stroke-dasharray", true, set_dashes, BUCKRAM_COPY(line.dashes)},
    {"stroke-dashoffset", true, set_dash_offset, BUCKRAM_COPY(line.dash_offset)},
    {"visibility", true,
     [](Style& s, string_view v, const Surroundings&) { s.is_visible = v == "visible"; },
     BUCKRAM_COPY(is_visible)},
    {"paint-order", true, set_paint_order, BUCKRAM_COPY(is_stroke_first)},
    {"marker", true,
     [](Style& s, string_view v, const Surroundings&) { s.has_marker = v != "none"; },
     BUCKRAM_COPY(has_marker)},
    {"marker-start", true,
     [](Style& s, string_view v, const Surroundings&) { s.has_marker |= v != "none"; },
     BUCKRAM_COPY(has_marker)},
    {"marker-mid", true,
     [](Style& s, string_view v, const Surroundings&) { s.has_marker |= v != "none"; },
     BUCKRAM_COPY(has_marker)},
    {"marker-end", true,
     [](Style& s, string_view v, const Surroundings&) { s.has_marker |= v != "none"; },
     BUCKRAM_COPY(has_marker)},
    {"display", false,
     [](Style& s, string_view v, const Surroundings&) { s.is_displayed = v != "none"; },
     BUCKRAM_COPY(is_displayed)},
    {"opacity", false,
     [](Style& s, string_view v, const Surroundings&) { s.opacity = opacity_of(v, s.opacity); },
     BUCKRAM_COPY(opacity)},
    {"clip-path", false,
     [](Style& s, string_view v, const Surroundings&) { s.clip_path = local_reference(v); },
     BUCKRAM_COPY(clip_path)},
    {"mask", false,
     [](Style& s, string_view v, const Surroundings&) { s.mask = local_reference(v); },
     BUCKRAM_COPY(mask)},
    {"filter", false, nullptr, BUCKRAM_COPY(effects)},
    {"mix-blend-mode", false, nullptr, BUCKRAM_COPY(effects)},
    {"text-decoration", false, nullptr, BUCKRAM_COPY(effects)},
    {"text-decoration-line", false,
     [](Style& s, string_view v, const Surroundings&) { set_effect(s, v, "text-decoration"); },
     BUCKRAM_COPY(effects)},
    {"text-transform", false, nullptr, BUCKRAM_COPY(effects)},
    {"font-variant", false, nullptr, BUCKRAM_COPY(effects)},
    {"font-stretch", false, nullptr, BUCKRAM_COPY(effects)},
    {"baseline-shift", false, nullptr, BUCKRAM_COPY(effects)},
    {"overflow", false,
     [](Style& s, string_view v,
        const Surroundings&) { s.is_overflow_visible = v == "visible" || v == "auto"; },
     BUCKRAM_COPY(is_overflow_visible)},
    {"vector-effect", false,
     [](Style& s, string_view v,
        const Surroundings&) { s.is_screen_stroke = v == "non-scaling-stroke"; },
     BUCKRAM_COPY(is_screen_stroke)},
    {"stop-color", false, set_stop_colour, BUCKRAM_COPY(stop_colour)},
    {"stop-opacity", false,
     [](Style& s, string_view v,
        const Surroundings&) { s.stop_opacity = opacity_of(v, s.stop_opacity); },
     BUCKRAM_COPY(stop_opacity)},
    {"transform", false, [](Style& s, string_view v, const Surroundings&) { s.transform = v; },
     BUCKRAM_COPY(transform)},
});
#undef BUCKRAM_COPY

// The place of a property in kProperties, or its size.
std::size_t place_of(string_view name) {
  const auto* found = std::find_if(kProperties.begin(), kProperties.end(),
                                   [&](const Property& p) { return p.name == name; });
  return static_cast<std::size_t>(found - kProperties.begin());
}

void apply(Style& style, const Property& property, string_view value, const Surroundings& around) {
  const string_view v = trimmed(value);
  if (v.empty()) return;
  if (v == "inherit" || (v == "unset" && property.is_inherited))
    return property.copy(style, around.parent);
  if (v == "initial" || v == "unset") return property.copy(style, Style{});
  if (!property.set) return set_effect(style, v, property.name);
  property.set(style, v, around);
}

// What a child starts from: inherited values of the parent, the rest at their initial values.
Style inherited(const Style& parent) {
  Style style = parent;
  const Style initial;
  for (const Property& property : kProperties)
    if (!property.is_inherited) property.copy(style, initial);
  return style;
}

// The value in force of each property, in kProperties' order; empty where none is given.
using Values = std::array<string_view, kProperties.size()>;

// A shorthand sets aside what was said of its parts before (CSS 2, 1.4.3).
void put(Values& values, string_view name, string_view value) {
  const std::size_t at = place_of(name);
  if (at == values.size()) return;
  if (name == "font") {
    const bool is_keyword = value == "inherit" || value == "initial" || value == "unset";
    if (!is_keyword && !parse_font(value, 400)) return;
    for (const string_view part : {"font-size", "font-family", "font-weight", "font-style"}) {
      values[place_of(part)] = {};
    }
  }
  values[at] = value;
}

void take(Values& values, const std::vector<Declaration>& declarations, bool is_important) {
  for (const Declaration& d : declarations) {
    if (d.is_important == is_important) put(values, d.property, d.value);
  }
}

}  // namespace

std::string local_reference(string_view text) {
  const auto open = text.find('(');
  if (open == string_view::npos || lower_case(trimmed(text.substr(0, open))) != "url") return {};
  string_view inside = text.substr(open + 1);
  inside = trimmed(inside.substr(0, inside.find(')')));
  if (inside.size() >= 2 && (inside.front() == '"' || inside.front() == '\''))
    inside = trimmed(inside.substr(1, inside.size() - 2));
  return inside.starts_with('#') ? std::string(inside.substr(1)) : std::string();
}

Style computed_style(const XmlTree& tree, int element, const StyleSheet& sheet, const Style& parent,
                     const Viewport& viewport) {
  const Element& e = tree.elements[static_cast<std::size_t>(element)];
  Values values;
  for (const Attribute& a : e.attributes) put(values, a.name, a.value);
  const std::string* own_text = attribute(e, "style");
  // What `use` draws again is read again: counted, so that no small file takes hours.
  sheet.count_work(e.attributes.size() + (own_text ? own_text->size() / 16 : 0), label(e));
  const auto rules = sheet.empty() ? std::vector<Declaration>{} : sheet.matching(tree, element);
  const auto own = own_text ? parse_declarations(*own_text) : std::vector<Declaration>{};
  take(values, rules, false);
  take(values, own, false);
  take(values, rules, true);
  take(values, own, true);
  Style style = inherited(parent);
  const Surroundings around{parent, viewport};
  for (std::size_t i = 0; i < kProperties.size(); ++i)
    apply(style, kProperties[i], values[i], around);
  return style;
}

}  // namespace buckram::artwork
