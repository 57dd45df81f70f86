// CSS selectors: from text, and whether one picks an element.
#pragma once

#include "artwork/style_sheet.h"

#include <optional>

namespace buckram::artwork {

// Nothing when the selector holds what is not understood.
std::optional<StyleSheet::Selector> parse_selector(std::string_view text);
// CSS 2, 6.4.3: ids count most, then classes, attributes and pseudo-classes, then types.
long specificity(const StyleSheet::Selector& selector);
// `tries` counts the compounds looked at, so that the caller can bound the work.
bool matches(const StyleSheet::Selector& selector, const XmlTree& tree, int element, long& tries);

}  // namespace buckram::artwork
