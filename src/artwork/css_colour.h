// Colours as CSS writes them (CSS Color 4, sections 4 to 7, what occurs in drawings).
#pragma once

#include "artwork/colour.h"

#include <optional>
#include <string_view>

namespace buckram::artwork {

struct Ink {
  Rgb colour;
  double alpha = 1;  // 0 to 1
  friend bool operator==(const Ink&, const Ink&) = default;
};

// #rgb, #rgba, #rrggbb, #rrggbbaa, rgb(), rgba(), hsl(), hsla() with commas or spaces, the 148
// names, `transparent`; case and outer blanks do not matter. Nothing for what is no colour
// (`none`, `currentColor` and `url()` are for the caller).
std::optional<Ink> parse_colour(std::string_view text);

}  // namespace buckram::artwork
