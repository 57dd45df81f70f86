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

// The shorthand: style, variant, weight in any order, then size with an optional line height, then
// families. Nothing when it has no size or no family.
struct FontShorthand {
  FontWish wish;
  std::string size;
};
std::optional<FontShorthand> parse_font(std::string_view text, int parent_weight);

}  // namespace buckram::artwork
