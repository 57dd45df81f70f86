// A choice between two alike that does not depend on rounding. Not part of the door.
#pragma once

#include "geometry/geometry.h"

#include <array>
#include <cmath>

namespace buckram::digitise {

// Which of several strokes comes first, in steps so coarse that rounding does not decide. Turning
// the drawing over from left to right changes nothing but the last, which only tells strokes apart
// that are each other's mirror image.
struct Precedence {
  int shorter = 0;  // steps of 0.25 mm less than 1 m
  int flatter = 0;  // steps of 4 degrees from the upright
  int nearer = 0;   // steps of 0.25 mm, of the far end from the middle of the shape
  int right = 0;    // steps of 0.1 mm, of the far end

  friend auto operator<=>(const Precedence&, const Precedence&) = default;
};

// Of a stroke `length_mm` long that lies along `direction` and ends at `end`, farthest from the
// middle of its shape.
inline Precedence precedence(double length_mm, geometry::Point direction, geometry::Point end,
                             geometry::Point middle) {
  const auto step = [](double value, double by) {
    return static_cast<int>(std::lround(value / by));
  };
  const double lean = std::atan2(std::abs(direction.x), std::abs(direction.y));
  return {-step(length_mm, 0.25), step(lean, 0.07), -step(geometry::distance(end, middle), 0.25),
          step(end.x - middle.x + 0.37 * (end.y - middle.y), 0.1)};
}

}  // namespace buckram::digitise
