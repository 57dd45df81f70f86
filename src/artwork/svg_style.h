// The look of an element after inheritance and cascade: what CSS calls computed values.
#pragma once

#include "artwork/css_colour.h"
#include "artwork/installed_fonts.h"
#include "artwork/outline.h"
#include "artwork/style_sheet.h"
#include "geometry/geometry.h"

#include <string>
#include <vector>

namespace buckram::artwork {

struct Paint {
  enum class Kind { none, colour, server } kind = Kind::none;
  Ink ink;             // of a colour; of a server its fallback
  std::string server;  // id of a gradient or pattern
  bool has_fallback = false;
};

struct StrokeLook {
  double width = 1;  // user units
  geometry::Join join = geometry::Join::miter;
  geometry::Cap cap = geometry::Cap::butt;
  double miter_limit = 4;
  std::vector<double> dashes;  // empty: solid
  double dash_offset = 0;
};

// How text is set. Lengths in user units.
struct TextLook {
  FontWish font{{"sans-serif"}, 400, false};
  double anchor = 0;  // share of a line's length that lies before its x
  double letter_spacing = 0, word_spacing = 0;
  enum class Baseline { alphabetic, middle, central, hanging, bottom };
  Baseline baseline = Baseline::alphabetic;
};

struct Style {
  // inherited
  Paint fill{Paint::Kind::colour, {}, "", false};
  Paint stroke;
  double fill_opacity = 1, stroke_opacity = 1;
  geometry::FillRule fill_rule = geometry::FillRule::nonzero;
  geometry::FillRule clip_rule = geometry::FillRule::nonzero;
  StrokeLook line;
  Ink colour;  // `color`, for currentColor
  bool is_visible = true;
  bool is_stroke_first = false;  // paint-order
  double font_size = 16;
  TextLook text;
  bool has_marker = false;
  // of the element alone
  bool is_displayed = true;
  double opacity = 1;
  std::string clip_path, mask;  // ids
  std::string effects;          // properties that are not drawn: "filter", "mix-blend-mode"
  bool is_overflow_visible = false;
  bool is_screen_stroke = false;  // vector-effect: non-scaling-stroke
  Ink stop_colour;
  double stop_opacity = 1;
  std::string transform;  // attribute or property
};

// The computed style of an element under `parent`: presentation attributes, then rules, then the
// style attribute, then what is important. Unknown properties and bad values are passed over, as
// CSS asks.
Style computed_style(const XmlTree& tree, int element, const StyleSheet& sheet, const Style& parent,
                     const Viewport& viewport);

// "url(#a)" or "url('#a')" to "a"; empty when it is no reference into this file.
std::string local_reference(std::string_view text);

}  // namespace buckram::artwork
