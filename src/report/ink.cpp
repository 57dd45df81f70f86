#include "report/ink.h"

#include <algorithm>
#include <charconv>
#include <cmath>

namespace buckram::report {
namespace {

double linear(int channel) {
  const double v = channel / 255.0;
  return v <= 0.04045 ? v / 12.92 : std::pow((v + 0.055) / 1.055, 2.4);
}

int blended(int a, int b, double share) {
  return std::clamp(static_cast<int>(std::lround(a * (1 - share) + b * share)), 0, 255);
}

}  // namespace

Colour parse_colour(std::string_view rgb) {
  unsigned value = 0;
  if (rgb.size() != 7 || rgb[0] != '#') return {128, 128, 128};
  const auto [end, error] = std::from_chars(rgb.data() + 1, rgb.data() + 7, value, 16);
  if (error != std::errc{} || end != rgb.data() + 7) return {128, 128, 128};
  return {static_cast<int>(value >> 16 & 255), static_cast<int>(value >> 8 & 255),
          static_cast<int>(value & 255)};
}

std::string hex(Colour colour) {
  constexpr char kDigits[] = "0123456789abcdef";
  std::string out = "#";
  for (const int v : {colour.r, colour.g, colour.b}) {
    out += kDigits[v / 16];
    out += kDigits[v % 16];
  }
  return out;
}

Colour mix(Colour colour, Colour other, double share) {
  return {blended(colour.r, other.r, share), blended(colour.g, other.g, share),
          blended(colour.b, other.b, share), colour.opacity};
}

Colour with_opacity(Colour colour, double opacity) {
  colour.opacity = opacity;
  return colour;
}

double luminance(Colour colour) {
  return 0.2126 * linear(colour.r) + 0.7152 * linear(colour.g) + 0.0722 * linear(colour.b);
}

double contrast(Colour a, Colour b) {
  const double la = luminance(a), lb = luminance(b);
  return (std::max(la, lb) + 0.05) / (std::min(la, lb) + 0.05);
}

int hazard_class(double chance) {
  return static_cast<int>(std::upper_bound(kHazardEdges.begin(), kHazardEdges.end(), chance) -
                          kHazardEdges.begin());
}

}  // namespace buckram::report
