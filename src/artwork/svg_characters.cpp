#include "artwork/svg_characters.h"

#include "artwork/svg_role.h"
#include "base/base.h"

#include <fmt/format.h>

#include <algorithm>

namespace buckram::artwork {
namespace {

class CharacterReader {
 public:
  CharacterReader(const XmlTree& tree, const StyleSheet& sheet, const Viewport& viewport,
                  WorkLeft& left)
      : tree_(tree), sheet_(sheet), viewport_(viewport), left_(left) {}

  SvgCharacters read(int root, const Style& style) {
    walk(root, style, -1, keeps_blanks_at(root));
    auto& all = read_.characters;
    if (!all.empty() && all.back().bytes == " " && !keeps_last_) all.pop_back();
    return std::move(read_);
  }

 private:
  const Element& at(int element) const { return tree_.elements[static_cast<std::size_t>(element)]; }

  // xml:space of the element or of the nearest one around it that has it.
  bool keeps_blanks_at(int element) const {
    for (int e = element; e >= 0; e = at(e).parent) {
      if (const std::string* space = attribute(at(e), "xml:space")) return *space == "preserve";
    }
    return false;
  }

  void take_one(int element) {
    if (left_.letters > 0) {
      --left_.letters;
      return;
    }
    throw base::Error{base::ErrorCode::bad_artwork, "more text than is set", label(at(element)),
                      "Simplify the drawing"};
  }

  void walk(int element, const Style& style, int path, bool keeps_blanks) {
    const Element& e = at(element);
    take_one(element);
    const std::size_t first = read_.characters.size();
    read_.looks.push_back({element, style});
    const int look = static_cast<int>(read_.looks.size()) - 1;
    std::size_t read = 0;
    for (std::size_t k = 0; k < e.children.size(); ++k) {
      add_text(std::string_view(e.text).substr(read, e.text_upto[k] - read), look, path,
               keeps_blanks);
      read = e.text_upto[k];
      enter(e.children[k], style, path, keeps_blanks);
    }
    add_text(std::string_view(e.text).substr(read), look, path, keeps_blanks);
    if (e.name != "textPath") place(element, style, first, path);
    if (attribute(e, "rotate")) remark(element, false, "letters are not turned one by one");
    if (attribute(e, "textLength")) remark(element, false, "set at its own length");
  }

  void enter(int child, const Style& parent, int path, bool keeps_blanks) {
    const Element& e = at(child);
    const bool is_path = e.name == "textPath";
    if (!e.is_svg || (e.name != "tspan" && e.name != "a" && !is_path)) {
      const bool is_silent = !e.is_svg || role_of(e.name) == Role::unseen;
      if (!is_silent) remark(child, true, fmt::format("{} in text is not understood", e.name));
      return;
    }
    const Style style = computed_style(tree_, child, sheet_, parent, viewport_);
    if (!style.is_displayed) return;
    if (!style.effects.empty()) {
      remark(child, true, fmt::format("drawn without its {}", style.effects));
    }
    if (const std::string* space = attribute(e, "xml:space")) keeps_blanks = *space == "preserve";
    walk(child, style, is_path ? child : path, keeps_blanks);
  }

  void add_text(std::string_view text, int look, int path, bool keeps_blanks) {
    auto& all = read_.characters;
    while (!text.empty()) {
      std::string bytes(base::first_character(text));
      text.remove_prefix(bytes.size());
      if (bytes.size() == 1 && is_blank(bytes[0])) bytes.assign(1, ' ');
      const bool follows_blank = all.empty() || all.back().bytes == " ";
      if (bytes == " " && follows_blank && !keeps_blanks) continue;
      take_one(read_.looks[static_cast<std::size_t>(look)].element);
      all.push_back({std::move(bytes), look, path, {}, {}, {}, {}});
      keeps_last_ = keeps_blanks;
    }
  }

  // Lists of the element over its own characters; what an inner element says goes before. On a
  // path only what is said inside its textPath counts.
  void place(int element, const Style& style, std::size_t first, int path) {
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
    const auto x = values("x", viewport_.width), y = values("y", viewport_.height);
    const auto dx = values("dx", viewport_.width), dy = values("dy", viewport_.height);
    for (std::size_t k = 0; first + k < read_.characters.size(); ++k) {
      Character& c = read_.characters[first + k];
      if (c.path != path) continue;
      if (k < x.size() && !c.x) c.x = x[k];
      if (k < y.size() && !c.y) c.y = y[k];
      if (k < dx.size() && !c.dx) c.dx = dx[k];
      if (k < dy.size() && !c.dy) c.dy = dy[k];
    }
  }

  void remark(int element, bool is_lost, std::string why) {
    read_.remarks.push_back({element, is_lost, std::move(why)});
  }

  const XmlTree& tree_;
  const StyleSheet& sheet_;
  const Viewport& viewport_;
  WorkLeft& left_;
  SvgCharacters read_;
  bool keeps_last_ = false;
};

}  // namespace

SvgCharacters characters_of(const XmlTree& tree, int element, const StyleSheet& sheet,
                            const Style& style, const Viewport& viewport, WorkLeft& left) {
  return CharacterReader(tree, sheet, viewport, left).read(element, style);
}

}  // namespace buckram::artwork
