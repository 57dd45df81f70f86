// Units: millimetres, radians, newtons, seconds. Everything else is converted at the door.
#pragma once

#include <numbers>

namespace buckram::base {

inline constexpr double kPi = std::numbers::pi;
inline constexpr double kMmPerInch = 25.4;              // exact, by definition
inline constexpr double kMmPerCssPx = kMmPerInch / 96;  // CSS Values 3, section 5.2: 1 in = 96 px

constexpr double radians(double degrees) {
  return degrees * (kPi / 180);
}
constexpr double degrees(double radians) {
  return radians * (180 / kPi);
}

}  // namespace buckram::base
