// A block of rows on a shipped cap: enough of a plan to judge, and quick.
#pragma once

#include "stitch/stitch.h"

namespace buckram::advise::testing {

inline stitch::Plan block() {
  stitch::Builder builder({{"Chalk", "#f6f4ec", 27, 1, ""}}, {{1, stitch::Kind::fill, 0, "a", ""}});
  builder.begin(1, stitch::Layer::lock);
  builder.move({-10, 16});
  for (const geometry::Point p : {geometry::Point{-10, 16}, {-9.2, 16}, {-9.6, 16.6}, {-10, 16}})
    builder.sew(p);
  builder.begin(1, stitch::Layer::top);
  for (int row = 0; row < 60; ++row) {
    for (int k = 1; k <= 5; ++k)
      builder.sew({(row % 2 == 0 ? 1 : -1) * (4.0 * k - 10), 16.4 + 0.4 * row});
  }
  return builder.finish();
}

// Caps of every forecast here: ratios and laws do not ask for more.
inline constexpr int kDraws = 64;

}  // namespace buckram::advise::testing
