#include "artwork/svg_text.h"

#include "base/base.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <set>

namespace buckram::artwork {
namespace {

using geometry::Affine;
using geometry::Point;

// A letter with the place of its origin along the line it stands on.
struct Placed {
  Letter letter;
  int look = 0;
  double size = 0;  // user units an em
  Point at;
};

// Characters set on one line from one anchor.
struct Chunk {
  std::vector<Placed> letters;
  int path = -1;
  double anchor = 0;
  double begin = 0, end = 0;  // along the line
};

// Sets characters on their lines.
class TextSetter {
 public:
  TextSetter(const XmlTree& tree, const Viewport& viewport, LoadedFonts& fonts,
             const SvgCharacters& text, WorkLeft& left)
      : tree_(tree), viewport_(viewport), fonts_(fonts), text_(text), left_(left) {}

  TextLayout run() {
    for (std::size_t i = 0; i < text_.characters.size();) {
      const std::size_t end = end_of_segment(i);
      set_segment(i, end);
      i = end;
    }
    TextLayout layout;
    layout.remarks = text_.remarks;
    for (Chunk& chunk : chunks_) draw(chunk, layout);
    layout.remarks.insert(layout.remarks.end(), remarks_.begin(), remarks_.end());
    return layout;
  }

 private:
  const CharacterLook& look_of(const Character& c) const {
    return text_.looks[static_cast<std::size_t>(c.look)];
  }

  bool starts_chunk(std::size_t i) const {
    const Character& c = text_.characters[i];
    const bool is_put = c.x || (c.y && c.path < 0);  // on a path y says nothing
    return chunks_.empty() || is_put || c.path != chunks_.back().path;
  }

  // Characters up to here are shaped together: of one look, the later ones placed by the font.
  std::size_t end_of_segment(std::size_t begin) const {
    const Character& first = text_.characters[begin];
    std::size_t end = begin + 1;
    while (end < text_.characters.size()) {
      const Character& c = text_.characters[end];
      if (c.look != first.look || c.x || c.y || c.dx || c.dy || c.path != first.path) break;
      ++end;
    }
    return end;
  }

  void set_segment(std::size_t begin, std::size_t end) {
    const Character& first = text_.characters[begin];
    const CharacterLook& look = look_of(first);
    if (starts_chunk(begin)) {
      if (first.path < 0) {
        pen_ = {first.x.value_or(pen_.x), first.y.value_or(pen_.y)};
      } else {
        pen_ = {first.x.value_or(0), 0};  // along the path
      }
      chunks_.push_back({{}, first.path, look.style.text.anchor, pen_.x, pen_.x});
    }
    pen_ = pen_ + Point{first.dx.value_or(0), first.dy.value_or(0)};
    const LoadedFonts::Entry* font = fonts_.find(
        look.style.text.font, label(tree_.elements[static_cast<std::size_t>(look.element)]));
    if (font == nullptr)
      return remark(look.element, true, "no font that can be read is installed on this machine");
    std::string bytes;
    for (std::size_t i = begin; i < end; ++i) bytes += text_.characters[i].bytes;
    say_font(look, *font);
    add_letters(bytes, look, first.look, *font);
    chunks_.back().end = pen_.x;
  }

  void add_letters(const std::string& bytes, const CharacterLook& look, int index,
                   const LoadedFonts::Entry& font) {
    const TextLook& text = look.style.text;
    const double size = look.style.font_size;
    const double drop = baseline_drop(text.baseline, *font.face) * size;
    std::set<std::string_view> missing;
    for (Letter& letter : font.face->letters(bytes, text.letter_spacing == 0)) {
      const auto character = base::first_character(std::string_view(bytes).substr(letter.byte));
      const bool is_space = character == " ";
      if (letter.is_missing && !is_space) missing.insert(character);
      const double advance =
          letter.advance * size + text.letter_spacing + (is_space ? text.word_spacing : 0);
      chunks_.back().letters.push_back({std::move(letter), index, size, {pen_.x, pen_.y + drop}});
      pen_.x += advance;
    }
    for (const std::string_view character : missing) {
      remarks_.push_back(
          {look.element, true,
           fmt::format("{} has no letter \"{}\"", font.font.family, base::shown(character))});
    }
  }

  static double baseline_drop(TextLook::Baseline baseline, const Typeface& face) {
    switch (baseline) {
      case TextLook::Baseline::middle:
        return face.x_height() / 2;
      case TextLook::Baseline::central:
        return (face.ascent() - face.descent()) / 2;
      case TextLook::Baseline::hanging:
        return face.ascent();
      case TextLook::Baseline::bottom:
        return -face.descent();
      case TextLook::Baseline::alphabetic:
        break;
    }
    return 0;
  }

  void say_font(const CharacterLook& look, const LoadedFonts::Entry& font) {
    if (font.font.is_wished) return;
    const FontWish& wish = look.style.text.font;
    remark(look.element, false,
           fmt::format("its font {}{}{} is not installed: drawn in {}", wish.families.front(),
                       wish.weight >= 600 ? " bold" : "", wish.is_italic ? " italic" : "",
                       font.font.family));
  }

  void draw(const Chunk& chunk, TextLayout& layout) {
    const double shift = -chunk.anchor * (chunk.end - chunk.begin);
    if (chunk.path >= 0) return draw_along(chunk, shift, layout);
    for (const Placed& p : chunk.letters) {
      const Affine map{p.size, 0, 0, p.size, p.at.x + shift, p.at.y};
      append(p.letter.outline, map, run_for(p.look, layout).outline);
    }
  }

  // Each letter stands upright on the path at its middle (SVG 1.1, 10.13.3); those whose middle
  // lies beyond an end are not drawn.
  void draw_along(const Chunk& chunk, double shift, TextLayout& layout) {
    const geometry::ArcLength* line = path_of(chunk.path);
    if (!line) return remark(chunk.path, true, "it runs along no path of this file");
    const double from = start_of(chunk.path, line->length());
    bool is_cut = false;
    for (const Placed& p : chunk.letters) {
      const double half = p.letter.advance * p.size / 2;
      const double s = from + shift + p.at.x + half;
      if (s < 0 || s > line->length()) {
        is_cut |= !p.letter.outline.empty();
        continue;
      }
      const Point foot = line->at(s), along = line->direction(s);
      const Affine turn{along.x, along.y, -along.y, along.x, foot.x, foot.y};
      const Affine map = geometry::compose(turn, {p.size, 0, 0, p.size, -half, p.at.y});
      append(p.letter.outline, map, run_for(p.look, layout).outline);
    }
    if (is_cut) remark(chunk.path, true, "letters beyond the end of its path are not drawn");
  }

  // The path that a textPath runs along; nullptr without one.
  const geometry::ArcLength* path_of(int element) {
    const auto [place, is_new] = paths_.try_emplace(element);
    if (is_new) place->second = read_path(element);
    return place->second ? &*place->second : nullptr;
  }

  std::optional<geometry::ArcLength> read_path(int element) {
    const std::string_view id = link_of(tree_.elements[static_cast<std::size_t>(element)]);
    if (!id.starts_with('#')) return std::nullopt;
    const auto found = tree_.by_id.find(id.substr(1));
    if (found == tree_.by_id.end()) return std::nullopt;
    const Element& target = tree_.elements[static_cast<std::size_t>(found->second)];
    const auto parsed =
        outline_of(target, viewport_, 16, std::min<std::size_t>(left_.points, 100'000));
    if (!parsed || parsed->outline.empty()) return std::nullopt;
    const Subpath& first = parsed->outline.front();
    left_.points -= std::min(left_.points, first.steps.size());
    const geometry::Box box = rough_box(parsed->outline, {});
    const double size = std::max({box.width(), box.height(), 1e-6});
    geometry::Polyline line = flattened(first, size * 1e-5);
    if (first.closed) line.push_back(line.front());
    const std::string* transform = attribute(target, "transform");
    const auto map = transform ? parse_transform(*transform) : std::nullopt;
    if (map) {
      for (Point& p : line) p = (*map)(p);
    }
    geometry::ArcLength arc(std::move(line));
    return arc.length() > 0 ? std::optional(std::move(arc)) : std::nullopt;
  }

  double start_of(int element, double length) const {
    const std::string* text =
        attribute(tree_.elements[static_cast<std::size_t>(element)], "startOffset");
    return text ? parse_length(*text, {length, 16}).value_or(0) : 0;
  }

  TextRun& run_for(int look, TextLayout& layout) {
    if (last_look_ != look || layout.runs.empty()) {
      const CharacterLook& l = text_.looks[static_cast<std::size_t>(look)];
      layout.runs.push_back({{}, l.element, l.style});
      last_look_ = look;
    }
    return layout.runs.back();
  }

  void remark(int element, bool is_lost, std::string why) {
    if (said_.insert(why).second) remarks_.push_back({element, is_lost, std::move(why)});
  }

  const XmlTree& tree_;
  const Viewport& viewport_;
  LoadedFonts& fonts_;
  const SvgCharacters& text_;
  WorkLeft& left_;
  std::vector<Chunk> chunks_;
  std::vector<TextRemark> remarks_;
  std::map<int, std::optional<geometry::ArcLength>> paths_;  // by textPath
  std::set<std::string> said_;
  Point pen_;
  int last_look_ = -1;
};

}  // namespace

TextLayout lay_text(const XmlTree& tree, int element, const StyleSheet& sheet, const Style& style,
                    const Viewport& viewport, LoadedFonts& fonts, WorkLeft& left) {
  const SvgCharacters text = characters_of(tree, element, sheet, style, viewport, left);
  return TextSetter(tree, viewport, fonts, text, left).run();
}

}  // namespace buckram::artwork
