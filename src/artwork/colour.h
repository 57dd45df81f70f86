// Colours as people see them: sRGB, CIELAB, and the distance between two.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace buckram::artwork {

struct Rgb {
  std::uint8_t r = 0, g = 0, b = 0;  // sRGB (IEC 61966-2-1)
  friend bool operator==(const Rgb&, const Rgb&) = default;
};

struct Lab {
  double l = 0, a = 0, b = 0;  // CIE 1976 L*a*b*, D65, 2 degree observer
};

Lab to_lab(Rgb colour);
// CIEDE2000 (Sharma, Wu, Dalal, Color Res. Appl. 30, 2005, 21-30), kL = kC = kH = 1.
double difference(const Lab& a, const Lab& b);
std::string hex(Rgb colour);  // "#rrggbb"
// A colour as CSS writes it, "#1f3f5b" or "navy"; nothing when it is none or see-through.
std::optional<Rgb> read_colour(std::string_view text);

}  // namespace buckram::artwork
