#include "digitise/classify.h"

#include "digitise/column.h"
#include "digitise/fill.h"
#include "digitise/run.h"
#include "digitise/stay_inside.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace buckram::digitise {
namespace {

using geometry::Polygon;
using geometry::Polygons;

constexpr double kShortestRingMm = 4;  // a thin ring shorter than five stitches is a dot
constexpr double kWellCovered = 0.95;
constexpr double kLeastCovered = 0.85;    // still a column when narrower than kNarrowForFill
constexpr double kNarrowForFillMm = 1.6;  // rows of a fill need this much to turn
constexpr double kMissedMm = 0.45;        // a gap narrower than a thread closes by itself
constexpr double kMissedMm2 = 0.35;
constexpr double kPatch = 1.8;         // times a line's own area: more is no line
constexpr double kLetterStrokeMm = 3;  // a shape no wider anywhere may be a letter
constexpr double kMostApartMm = 0.3;   // of a double line's passes: wider would show cloth
// Dashes, apostrophes, ends of serifs are too short for a line of stitches, but so wide that
// threads across cover them.
constexpr double kShortestLineMm = 2.5;
constexpr double kDashMm = 0.4;
constexpr double kTooSmallMm2 = 0.12;  // less than a third of a millimetre square

Outcome left_out(const std::string& why) {
  Outcome v;
  v.note_kind = "left_out";
  v.note_why = why;
  return v;
}

Outcome as_fill(const Cell& cell, const Recipe& recipe) {
  Outcome v;
  Fill fill{.area = {cell.area}, .angle_rad = 0, .bend = nullptr};
  v.outline = geometry::offset(fill.area, recipe.compensation_mm);
  v.shape = std::move(fill);
  return v;
}

Outcome as_run(const Spine& spine, double width_mm, const Recipe& recipe) {
  Outcome v;
  Run run{.path = geometry::simplify(spine.line, 0.02), .closed = spine.closed, .passes = 2};
  run.apart_mm = std::clamp(width_mm - recipe.thread_mm, 0.0, kMostApartMm);
  // Half a thread short of the ends, so that the thread's round end lies on the outline.
  if (!run.closed) {
    const geometry::ArcLength arc(spine.line);
    const double inset = std::min(recipe.thread_mm / 2, arc.length() / 4);
    geometry::Polyline line;
    for (double s = inset; s < arc.length() - inset; s += kSpineStepMm) line.push_back(arc.at(s));
    line.push_back(arc.at(arc.length() - inset));
    run.path = geometry::simplify(line, 0.02);
  }
  v.outline = geometry::stroke_outline(run.path, std::max(recipe.thread_mm, width_mm), run.closed,
                                       geometry::Join::round, geometry::Cap::round);
  // Stitches cut the corners that are nearer to each other than a stitch is long.
  for (const Way& way : run_ways(run)) {
    for (const Piece& piece : sew_run(run, {}, way, recipe, {false, false})) {
      v.outline = geometry::unite(
          v.outline, geometry::stroke_outline(piece.points, recipe.thread_mm, false,
                                              geometry::Join::round, geometry::Cap::round));
    }
  }
  const bool thickened = width_mm < recipe.narrowest_mm;
  v.note_kind = thickened ? "thickened" : "run";
  v.note_why =
      thickened
          ? fmt::format("{:.2f} mm wide, under {:.1f} mm: sewn as a double line of thread",
                        width_mm, recipe.narrowest_mm)
          : fmt::format(
                "{:.2f} mm wide, under {:.1f} mm: sewn as a double line of thread, not a column",
                width_mm, recipe.run_below_mm);
  v.shape = std::move(run);
  return v;
}

Polygons ribbon_reach(const Column& column, const Recipe& recipe) {
  return ribbon(column, recipe.thread_mm / 2 + 0.02);
}

Outcome as_column(const Cell& cell, ColumnFit fit, double width_mm, const Recipe& recipe) {
  Outcome v;
  v.outline = geometry::offset({cell.area}, recipe.compensation_mm);
  if (fit.thickened || fit.widened)
    v.outline = geometry::unite(v.outline, ribbon_reach(fit.column, recipe));
  if (fit.thickened) {
    v.note_kind = "thickened";
    v.note_why = width_mm < recipe.column_from_mm - 0.005
                     ? fmt::format("{:.2f} mm wide, under {:.1f} mm: thickened to that", width_mm,
                                   recipe.column_from_mm)
                     : fmt::format("thinner than {:.1f} mm in places: thickened there",
                                   recipe.column_from_mm);
  }
  if (fit.covered < 0.99) {
    v.missed = geometry::without_slivers(
        geometry::subtract({cell.area}, ribbon(fit.column, recipe.thread_mm / 2)), kMissedMm,
        kMissedMm2);
  }
  v.shape = std::move(fit.column);
  return v;
}

// Whether the column's threads keep to its own cloth: a spine that misjudged a wild outline sends
// them across the gaps.
bool sews_inside(const Outcome& outcome, const Recipe& recipe) {
  const Column& column = std::get<Column>(*outcome.shape);
  const auto ways = column_ways(column, outcome.outline, recipe);
  if (ways.empty()) return false;
  const stitch::Within cloth = allowed_cloth(outcome.outline, recipe);
  Object object;  // as sew() takes it, so that locks are judged too
  object.shape = column;
  object.outline = outcome.outline;
  return std::all_of(ways.begin(), ways.end(), [&](const Way& way) {
    return stays_inside(sew(object, way, recipe, {true, true}), cloth);
  });
}

struct Candidate {
  Spine spine;
  ColumnFit fit;
};

// The spine that covers best; the axis's own when it covers as well as the straight ones.
std::optional<Candidate> best_column(const Cell& cell, const StripAxis& axis,
                                     const Recipe& recipe) {
  std::optional<Candidate> best;
  const auto consider = [&](std::optional<Spine> spine) {
    if (!spine) return;
    ColumnFit fit = fit_column(cell.area, *spine, recipe);
    if (fit.column.width_mm > 1.3 * std::max(recipe.column_to_mm, axis.widest_mm)) return;
    if (best && fit.covered <= best->fit.covered + 0.01) return;
    best = Candidate{std::move(*spine), std::move(fit)};
  };
  consider(axis.spine);
  if (cell.area.holes.empty() && (!best || best->fit.covered < 0.98))
    consider(straight_spine(cell.area));
  return best;
}

}  // namespace

Outcome classify(const Cell& cell, const Recipe& recipe) {
  const double area = geometry::area(cell.area);
  if (area < kTooSmallMm2) return left_out(fmt::format("{:.2f} mm², too small to sew", area));
  const StripAxis axis = strip_axis(cell.area);
  const double grown = 2 * recipe.compensation_mm;
  if (axis.widest_mm + grown > 1.15 * recipe.column_to_mm || cell.wide)
    return as_fill(cell, recipe);

  const double width = axis.typical_mm + grown;
  auto spine = axis.spine;
  if (!spine) spine = straight_spine(cell.area);
  const double length = spine ? geometry::length(spine->line) : 0;
  // A spine that fell short of the shape must not turn a patch into a line.
  const bool is_line = spine && area < kPatch * width * length + kTooSmallMm2;
  // A letter's thin strokes are columns like its thick ones, and so is a line that swells. Letters
  // whose strokes lie around 0.7 mm stay alike: one place so wide is enough.
  const bool is_letter = cell.shape_widest_mm + grown >= recipe.run_below_mm &&
                         cell.shape_widest_mm + grown < kLetterStrokeMm;
  const double run_below = is_letter ? recipe.narrowest_mm : recipe.run_below_mm;
  if (width < run_below && axis.broad_mm + grown < 1.1 * run_below && is_line) {
    if (spine->closed && length < kShortestRingMm)
      return classify({{cell.area.outer, {}}, false, 0, {}}, recipe);
    if (length >= kShortestLineMm || (width < kDashMm && length >= kShortestRunMm))
      return as_run(*spine, width, recipe);
    if (width < kDashMm)
      return left_out(
          fmt::format("{:.2f} mm wide and {:.2f} mm long, too small to sew", width, length));
  }
  auto best = best_column(cell, axis, recipe);
  const double needed = width < kNarrowForFillMm ? kLeastCovered : kWellCovered;
  if (best && best->fit.covered >= needed) {
    Outcome column = as_column(cell, std::move(best->fit), width, recipe);
    if (sews_inside(column, recipe)) return column;
  }
  return as_fill(cell, recipe);
}

std::optional<Outcome> shaped_as(stitch::Kind kind, const Polygon& area, const Recipe& recipe) {
  const Cell cell{area, false, 0, {}};
  if (kind == stitch::Kind::fill) return as_fill(cell, recipe);
  const StripAxis axis = strip_axis(area);
  const double width = axis.typical_mm + 2 * recipe.compensation_mm;
  if (kind == stitch::Kind::run) {
    const auto spine = axis.spine ? axis.spine : straight_spine(area);
    if (!spine || width > kWidestRunMm || geometry::length(spine->line) < kShortestRunMm)
      return std::nullopt;
    return as_run(*spine, width, recipe);
  }
  auto best = best_column(cell, axis, recipe);
  if (!best || best->fit.covered < kLeastCovered) return std::nullopt;
  Outcome column = as_column(cell, std::move(best->fit), width, recipe);
  if (!sews_inside(column, recipe)) return std::nullopt;
  return column;
}

}  // namespace buckram::digitise
