// What one cell becomes: a column where its threads cover it, a run where it is too thin for one,
// else a fill; or nothing, when it is too small to be seen.
#pragma once

#include "digitise/digitise.h"
#include "digitise/split.h"

#include <optional>
#include <string>

namespace buckram::digitise {

struct Outcome {
  std::optional<std::variant<Column, Fill, Run>> shape;  // none: left out
  geometry::Polygons outline;                            // cloth covered
  std::string note_kind, note_why;                       // empty: nothing to tell
  geometry::Polygons missed;                             // parts of the cell left uncovered
};

// Shorter than this, thin things do not matter and are left out.
inline constexpr double kShortestRunMm = 1.2;

// Width is judged after compensation. A column must cover at least 95 % of its cell, or be too
// narrow for anything else; what it misses is handed back when it is worth an object of its own.
// A fill's rows get no angle yet.
Outcome classify(const Cell& cell, const Recipe& recipe);

// The cell sewn as that kind, whatever would be chosen: a run where it has one middle line and is
// no wider than kWidestRunMm, a column where threads across cover it and stay on it, always a fill.
// Empty where it cannot be.
inline constexpr double kWidestRunMm = 1.5;  // a double line leaves half of it bare
std::optional<Outcome> shaped_as(stitch::Kind kind, const geometry::Polygon& cell,
                                 const Recipe& recipe);

}  // namespace buckram::digitise
