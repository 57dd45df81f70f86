// Colours, and the tokens of the printed-chart look.
//
// What is ours is ink on paper; the customer's threads bring the colour; the one accent, madder,
// means a needle may break here and nothing else.
#pragma once

#include <array>
#include <string>
#include <string_view>

namespace buckram::report {

struct Colour {
  int r = 0, g = 0, b = 0;  // sRGB, 0 to 255
  double opacity = 1;       // 0 to 1
  friend bool operator==(const Colour&, const Colour&) = default;
};

// "#rrggbb"; anything else gives a middle grey, so that a damaged thread entry still shows.
Colour parse_colour(std::string_view rgb);
std::string hex(Colour colour);  // "#rrggbb", opacity left out
// `share` of `other` in `colour`, 0 to 1, mixed in sRGB as inks on paper are; keeps the opacity.
Colour mix(Colour colour, Colour other, double share);
Colour with_opacity(Colour colour, double opacity);
// WCAG 2.2 relative luminance and contrast ratio (1 to 21).
double luminance(Colour colour);
double contrast(Colour a, Colour b);

inline constexpr Colour kBlack{0, 0, 0};
inline constexpr Colour kWhite{255, 255, 255};
inline constexpr Colour kPaper{251, 250, 245};  // screens; printed sheets use white
inline constexpr Colour kSea{236, 238, 234};    // beyond the frame's field
inline constexpr Colour kInk{29, 34, 37};       // text, shore: 15.4 : 1 on paper
inline constexpr Colour kInk2{74, 80, 82};      // second text, contours' labels: 7.9 : 1
inline constexpr Colour kInk3{102, 107, 109};   // small notes, inches: 5.2 : 1
inline constexpr Colour kLine{128, 131, 126};   // water lines
inline constexpr Colour kRule{207, 205, 195};   // hairlines without meaning
inline constexpr Colour kAccent{160, 51, 19};   // madder: 6.8 : 1
inline constexpr Colour kContour{93, 98, 95};
inline constexpr Colour kHachure{60, 66, 68};

// Six steps of one hue, lightness falling evenly, so that order survives colour-blind eyes and
// grey printing.
inline constexpr std::array<Colour, 6> kHazard{{{251, 225, 218},
                                                {250, 185, 167},
                                                {235, 138, 111},
                                                {207, 90, 59},
                                                {160, 51, 19},
                                                {105, 27, 4}}};
// Chances a stitch where each class after the first begins. Fixed, so that two plans compare.
inline constexpr std::array<double, 5> kHazardEdges{1e-7, 1e-6, 6e-6, 3e-5, 1.2e-4};
// 0 to 5.
int hazard_class(double chance);

}  // namespace buckram::report
