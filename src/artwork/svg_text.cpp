#include "artwork/svg_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <set>

namespace buckram::artwork {
namespace {

using geometry::Affine;
using geometry::Point;

constexpr std::size_t kMostCharacters = 20'000;

struct Character {
  std::string bytes;  // one code point
  int look = 0;       // index into Collector::looks
  int path = -1;      // the textPath it runs along
  std::optional<double> x, y;
  double dx = 0, dy = 0;
  bool has_dx = false, has_dy = false;
};

// Characters with one look, of one element.
struct Look {
  int element = 0;
  Style style;
};

bool is_continuation(char c) {
  return (static_cast<unsigned char>(c) & 0xC0) == 0x80;
}

// The text's characters with their looks and places, blanks collapsed (SVG 2, 11.7.1).
class Collector {
 public:
  Collector(const XmlTree& tree, const StyleSheet& sheet, const Viewport& viewport)
      : tree_(tree), sheet_(sheet), viewport_(viewport) {}

  void collect(int root, const Style& style) {
    walk(root, style, -1, false);
    if (!all.empty() && all.back().bytes == " " && !keeps_last_) all.pop_back();
  }

  std::vector<Character> all;
  std::vector<Look> looks;
  std::vector<TextRemark> remarks;

 private:
  const Element& at(int element) const { return tree_.elements[static_cast<std::size_t>(element)]; }

  void walk(int element, const Style& style, int path, bool keeps_blanks) {
    const Element& e = at(element);
    if (const std::string* space = attribute(e, "xml:space")) keeps_blanks = *space == "preserve";
    const std::size_t first = all.size();
    looks.push_back({element, style});
    const int look = static_cast<int>(looks.size()) - 1;
    std::size_t read = 0;
    for (std::size_t k = 0; k < e.children.size(); ++k) {
      add_text(std::string_view(e.text).substr(read, e.text_upto[k] - read), look, path,
               keeps_blanks);
      read = e.text_upto[k];
      enter(e.children[k], style, path, keeps_blanks);
    }
    add_text(std::string_view(e.text).substr(read), look, path, keeps_blanks);
    place(element, style, first);
    if (attribute(e, "rotate")) remark(element, false, "letters are not turned one by one");
    if (attribute(e, "textLength")) remark(element, false, "set at its own length");
  }

  void enter(int child, const Style& parent, int path, bool keeps_blanks) {
    const Element& e = at(child);
    const bool is_path = e.name == "textPath";
    if (!e.is_svg || (e.name != "tspan" && e.name != "a" && !is_path)) {
      const bool is_silent = !e.is_svg || e.name == "title" || e.name == "desc";
      if (!is_silent) remark(child, true, fmt::format("{} in text is not understood", e.name));
      return;
    }
    const Style style = computed_style(tree_, child, sheet_, parent, viewport_);
    if (!style.is_displayed) return;
    walk(child, style, is_path ? child : path, keeps_blanks);
  }

  void add_text(std::string_view text, int look, int path, bool keeps_blanks) {
    for (std::size_t i = 0; i < text.size() && all.size() < kMostCharacters;) {
      std::size_t end = i + 1;
      while (end < text.size() && end < i + 4 && is_continuation(text[end])) ++end;
      std::string bytes(text.substr(i, end - i));
      i = end;
      if (bytes.size() == 1 && is_blank(bytes[0])) bytes.assign(1, ' ');
      const bool follows_blank = all.empty() || all.back().bytes == " ";
      if (bytes == " " && follows_blank && !keeps_blanks) continue;
      all.push_back({std::move(bytes), look, path, {}, {}, 0, 0, false, false});
      keeps_last_ = keeps_blanks;
    }
    if (all.size() == kMostCharacters) remark(looks.front().element, true, "more text than is set");
  }

  // Lists of the element over its own characters; what an inner element says goes before.
  void place(int element, const Style& style, std::size_t first) {
    const auto values = [&](std::string_view name, double percent_of) {
      std::vector<double> list;
      const std::string* text = attribute(at(element), name);
      if (!text) return list;
      std::string spaced = *text;
      std::replace(spaced.begin(), spaced.end(), ',', ' ');
      for (const std::string_view word : words_of(spaced)) {
        list.push_back(parse_length(word, {percent_of, style.font_size}).value_or(0));
      }
      return list;
    };
    if (at(element).name == "textPath") return;
    const auto x = values("x", viewport_.width), y = values("y", viewport_.height);
    const auto dx = values("dx", viewport_.width), dy = values("dy", viewport_.height);
    for (std::size_t k = 0; first + k < all.size(); ++k) {
      Character& c = all[first + k];
      if (k < x.size() && !c.x) c.x = x[k];
      if (k < y.size() && !c.y) c.y = y[k];
      if (k < dx.size() && !c.has_dx) c.dx = dx[k], c.has_dx = true;
      if (k < dy.size() && !c.has_dy) c.dy = dy[k], c.has_dy = true;
    }
  }

  void remark(int element, bool is_lost, std::string why) {
    remarks.push_back({element, is_lost, std::move(why)});
  }

  const XmlTree& tree_;
  const StyleSheet& sheet_;
  const Viewport& viewport_;
  bool keeps_last_ = false;
};

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

void add_mapped(const Outline& from, const Affine& map, Outline& to) {
  for (Subpath subpath : from) {
    subpath.start = map(subpath.start);
    for (Step& step : subpath.steps) {
      step.a = map(step.a);
      step.b = map(step.b);
      step.end = map(step.end);
    }
    to.push_back(std::move(subpath));
  }
}

class Setter {
 public:
  Setter(const XmlTree& tree, const Viewport& viewport, Shelf& shelf, Collector& text)
      : tree_(tree), viewport_(viewport), shelf_(shelf), text_(text) {}

  TextLayout run() {
    for (std::size_t i = 0; i < text_.all.size();) {
      const std::size_t end = end_of_segment(i);
      set_segment(i, end);
      i = end;
    }
    TextLayout layout;
    layout.remarks = std::move(text_.remarks);
    for (Chunk& chunk : chunks_) draw(chunk, layout);
    layout.remarks.insert(layout.remarks.end(), remarks_.begin(), remarks_.end());
    return layout;
  }

 private:
  const Look& look_of(const Character& c) const {
    return text_.looks[static_cast<std::size_t>(c.look)];
  }

  bool starts_chunk(std::size_t i) const {
    const Character& c = text_.all[i];
    return chunks_.empty() || c.x || c.y || c.path != chunks_.back().path;
  }

  // Characters up to here are shaped together: of one look, the later ones placed by the font.
  std::size_t end_of_segment(std::size_t begin) const {
    const Character& first = text_.all[begin];
    std::size_t end = begin + 1;
    while (end < text_.all.size()) {
      const Character& c = text_.all[end];
      if (c.look != first.look || c.x || c.y || c.has_dx || c.has_dy || c.path != first.path) break;
      ++end;
    }
    return end;
  }

  void set_segment(std::size_t begin, std::size_t end) {
    const Character& first = text_.all[begin];
    const Look& look = look_of(first);
    if (starts_chunk(begin)) {
      const bool is_along = first.path >= 0;
      pen_ = {is_along ? 0 : first.x.value_or(pen_.x), is_along ? 0 : first.y.value_or(pen_.y)};
      chunks_.push_back({{}, first.path, look.style.text.anchor, pen_.x, pen_.x});
    }
    pen_ = pen_ + Point{first.dx, first.dy};
    const Shelf::Book* book = shelf_.find(look.style.text.font);
    if (book == nullptr) return remark(look.element, true, "no font is installed on this machine");
    std::string bytes;
    for (std::size_t i = begin; i < end; ++i) bytes += text_.all[i].bytes;
    say_font(look, *book);
    add_letters(bytes, look, first.look, *book);
    chunks_.back().end = pen_.x;
  }

  void add_letters(const std::string& bytes, const Look& look, int index, const Shelf::Book& book) {
    const TextLook& text = look.style.text;
    const double size = look.style.font_size;
    const double drop = baseline_drop(text.baseline, book.face) * size;
    std::string missing;
    for (Letter& letter : book.face.letters(bytes, text.letter_spacing == 0)) {
      const char c = bytes[std::min(letter.byte, bytes.size() - 1)];
      if (letter.is_missing && c != ' ') missing = bytes.substr(letter.byte, 4);
      const double advance =
          letter.advance * size + text.letter_spacing + (c == ' ' ? text.word_spacing : 0);
      chunks_.back().letters.push_back({std::move(letter), index, size, {pen_.x, pen_.y + drop}});
      pen_.x += advance;
    }
    if (!missing.empty()) {
      std::size_t n = 1;
      while (n < missing.size() && is_continuation(missing[n])) ++n;
      remark(look.element, true,
             fmt::format("{} has no letter \"{}\"", book.font.family, missing.substr(0, n)));
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

  void say_font(const Look& look, const Shelf::Book& book) {
    if (book.font.is_wished) return;
    const FontWish& wish = look.style.text.font;
    remark(look.element, false,
           fmt::format("its font {}{}{} is not installed: drawn in {}", wish.families.front(),
                       wish.weight >= 600 ? " bold" : "", wish.is_italic ? " italic" : "",
                       book.font.family));
  }

  void draw(const Chunk& chunk, TextLayout& layout) {
    const double shift = -chunk.anchor * (chunk.end - chunk.begin);
    if (chunk.path >= 0) return draw_along(chunk, shift, layout);
    for (const Placed& p : chunk.letters) {
      const Affine map{p.size, 0, 0, p.size, p.at.x + shift, p.at.y};
      add_mapped(p.letter.outline, map, run_for(p.look, layout).outline);
    }
  }

  // Each letter stands upright on the path at its middle (SVG 1.1, 10.13.3); those whose middle
  // lies beyond an end are not drawn.
  void draw_along(const Chunk& chunk, double shift, TextLayout& layout) {
    const auto line = path_of(chunk.path);
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
      add_mapped(p.letter.outline, map, run_for(p.look, layout).outline);
    }
    if (is_cut) remark(chunk.path, true, "letters beyond the end of its path are not drawn");
  }

  std::optional<geometry::ArcLength> path_of(int element) const {
    const Element& e = tree_.elements[static_cast<std::size_t>(element)];
    const std::string* link = attribute(e, "href");
    if (!link) link = attribute(e, "xlink:href");
    const std::string_view id = link ? trimmed(*link) : std::string_view();
    if (!id.starts_with('#')) return std::nullopt;
    const auto found = tree_.by_id.find(id.substr(1));
    if (found == tree_.by_id.end()) return std::nullopt;
    const Element& target = tree_.elements[static_cast<std::size_t>(found->second)];
    const auto parsed = outline_of(target, viewport_, 16, 100'000);
    if (!parsed || parsed->outline.empty()) return std::nullopt;
    const geometry::Box box = rough_box(parsed->outline, {});
    const double size = std::max({box.width(), box.height(), 1e-6});
    geometry::Polyline line = flattened(parsed->outline.front(), size * 1e-5);
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
      const Look& l = text_.looks[static_cast<std::size_t>(look)];
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
  Shelf& shelf_;
  Collector& text_;
  std::vector<Chunk> chunks_;
  std::vector<TextRemark> remarks_;
  std::set<std::string> said_;
  Point pen_;
  int last_look_ = -1;
};

}  // namespace

TextLayout lay_text(const XmlTree& tree, int element, const StyleSheet& sheet, const Style& style,
                    const Viewport& viewport, Shelf& shelf) {
  Collector text(tree, sheet, viewport);
  text.collect(element, style);
  return Setter(tree, viewport, shelf, text).run();
}

}  // namespace buckram::artwork
