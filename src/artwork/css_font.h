// Font properties as CSS writes them (CSS Fonts 3).
#pragma once

#include "artwork/installed_fonts.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace buckram::artwork {

// "'Fine Hand', serif" to its names, in order; {"sans-serif"} where there is none.
std::vector<std::string> parse_families(std::string_view text);

// normal, bold, bolder, lighter (than the parent's) or 1 to 1000.
std::optional<int> parse_weight(std::string_view text, int parent);

// A size in words, as a share of the medium size or, of `smaller` and `larger`, of the parent's:
// xx-small to xx-large (the factors of CSS Fonts 3, 3.5). Nothing for other words.
struct WordedSize {
  double factor = 1;
  bool is_relative = false;
};
std::optional<WordedSize> parse_worded_size(std::string_view text);

// The shorthand: style, variant, weight in any order, then size with an optional line height, then
// families. Nothing when it has no size or no family.
struct FontShorthand {
  FontWish wish;
  std::string size;
};
std::optional<FontShorthand> parse_font(std::string_view text, int parent_weight);

}  // namespace buckram::artwork
