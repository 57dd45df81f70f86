#include "artwork/colour.h"

#include "artwork/css_colour.h"

#include "base/base.h"

#include <array>
#include <cmath>
#include <numbers>

namespace buckram::artwork {
namespace {

// Linear sRGB to XYZ, D65 (IEC 61966-2-1, seven digits). White is the sum of each row, so that
// equal channels give a* = b* = 0 exactly; the four-digit matrix of the standard does not.
constexpr std::array<std::array<double, 3>, 3> kToXyz = {{{0.4124564, 0.3575761, 0.1804375},
                                                          {0.2126729, 0.7151522, 0.0721750},
                                                          {0.0193339, 0.1191920, 0.9503041}}};

double linear(std::uint8_t channel) {
  const double c = channel / 255.0;
  return c <= 0.04045 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
}

// The cube root with its straight toe (CIE 15:2004, 8.2.1).
double lab_curve(double t) {
  constexpr double kToe = 216.0 / 24389;  // (6/29)^3
  return t > kToe ? std::cbrt(t) : t * (841.0 / 108) + 4.0 / 29;
}

// Hue angle in degrees, 0 to 360; 0 for grey.
double hue_deg(double a, double b) {
  if (a == 0 && b == 0) return 0;
  const double h = base::degrees(std::atan2(b, a));
  return h < 0 ? h + 360 : h;
}

double sin_deg(double angle) {
  return std::sin(base::radians(angle));
}
double cos_deg(double angle) {
  return std::cos(base::radians(angle));
}
double pow7(double x) {
  return std::pow(x, 7);
}

struct Lch {
  double l, c, h;  // lightness, chroma, hue in degrees
};

// Hue difference h2 - h1 brought to within half a turn (Sharma et al., equation 10).
double hue_step(const Lch& p, const Lch& q) {
  if (p.c * q.c == 0) return 0;
  const double d = q.h - p.h;
  if (d > 180) return d - 360;
  if (d < -180) return d + 360;
  return d;
}

// Mean hue on the shorter side (equation 14).
double mean_hue(const Lch& p, const Lch& q) {
  const double sum = p.h + q.h;
  if (p.c * q.c == 0) return sum;
  if (std::abs(p.h - q.h) <= 180) return sum / 2;
  return sum < 360 ? (sum + 360) / 2 : (sum - 360) / 2;
}

}  // namespace

Lab to_lab(Rgb colour) {
  const std::array<double, 3> rgb = {linear(colour.r), linear(colour.g), linear(colour.b)};
  std::array<double, 3> f{};
  for (std::size_t i = 0; i < 3; ++i) {
    const auto& row = kToXyz[i];
    const double value = row[0] * rgb[0] + row[1] * rgb[1] + row[2] * rgb[2];
    f[i] = lab_curve(value / (row[0] + row[1] + row[2]));
  }
  return {116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])};
}

double difference(const Lab& p, const Lab& q) {
  constexpr double k25To7 = 6103515625.0;
  const double chroma = (std::hypot(p.a, p.b) + std::hypot(q.a, q.b)) / 2;
  const double g = 0.5 * (1 - std::sqrt(pow7(chroma) / (pow7(chroma) + k25To7)));
  const auto lch = [g](const Lab& x) {
    const double a = (1 + g) * x.a;
    return Lch{x.l, std::hypot(a, x.b), hue_deg(a, x.b)};
  };
  const Lch s = lch(p), t = lch(q);
  const double dl = t.l - s.l, dc = t.c - s.c;
  const double dh = 2 * std::sqrt(s.c * t.c) * sin_deg(hue_step(s, t) / 2);
  const double l = (s.l + t.l) / 2, c = (s.c + t.c) / 2, h = mean_hue(s, t);
  const double w = 1 - 0.17 * cos_deg(h - 30) + 0.24 * cos_deg(2 * h) + 0.32 * cos_deg(3 * h + 6) -
                   0.20 * cos_deg(4 * h - 63);
  const double l50 = (l - 50) * (l - 50);
  const double sl = 1 + 0.015 * l50 / std::sqrt(20 + l50);
  const double sc = 1 + 0.045 * c;
  const double sh = 1 + 0.015 * c * w;
  const double bump = std::exp(-((h - 275) / 25) * ((h - 275) / 25));
  const double rt = -sin_deg(60 * bump) * 2 * std::sqrt(pow7(c) / (pow7(c) + k25To7));
  const double x = dl / sl, y = dc / sc, z = dh / sh;
  return std::sqrt(x * x + y * y + z * z + rt * y * z);
}

std::string hex(Rgb colour) {
  constexpr char kDigits[] = "0123456789abcdef";
  std::string text = "#";
  for (const std::uint8_t c : {colour.r, colour.g, colour.b}) {
    text += kDigits[c >> 4];
    text += kDigits[c & 15];
  }
  return text;
}

std::optional<Rgb> read_colour(std::string_view text) {
  const auto ink = parse_colour(text);
  return ink && ink->alpha == 1 ? std::optional(ink->colour) : std::nullopt;
}

}  // namespace buckram::artwork
