#include "digitise/recipe.h"

#include "base/base.h"

#include <fmt/format.h>

#include <cmath>

namespace buckram::digitise {
namespace {

void demand(bool holds, const char* key, double value, const char* constraint) {
  if (holds) return;
  throw base::Error{base::ErrorCode::bad_job,
                    fmt::format("{} is {:g}; it must be {}", key, value, constraint), "stitch",
                    "Leave the key out to use the mount's default"};
}

void demand_range(const char* key, double value, double least, double most) {
  const bool holds = std::isfinite(value) && value >= least && value <= most;
  if (holds) return;
  throw base::Error{
      base::ErrorCode::bad_job,
      fmt::format("{} is {:g}; it must be between {:g} and {:g} mm", key, value, least, most),
      "stitch", "Leave the key out to use the mount's default"};
}

}  // namespace

void Recipe::check() const {
  demand_range("thread_mm", thread_mm, 0.05, 2);
  demand_range("row_spacing_mm", row_mm, 0.2, 3);
  demand_range("column_spacing_mm", column_mm, 0.2, 3);
  demand_range("fill_stitch_mm", fill_stitch_mm, 1, 12);
  demand_range("run_mm", run_mm, 1, 12);
  demand_range("longest_mm", longest_mm, 2, 12.7);
  demand_range("shortest_mm", shortest_mm, 0.3, 2);
  demand_range("narrowest_mm", narrowest_mm, 0.1, 3);
  demand_range("column_to_mm", column_to_mm, 1.5, 12);
  demand_range("inner_gap_mm", inner_gap_mm, 0, 1);
  demand_range("compensation_mm", compensation_mm, 0, 1);
  demand_range("under_inset_mm", under_inset_mm, 0.1, 3);
  demand_range("under_row_mm", under_row_mm, 0.5, 10);
  demand_range("under_stitch_mm", under_stitch_mm, 1, 12);
  demand_range("lock_mm", lock_mm, 0.7, 1);
  demand_range("seam_clear_mm", seam_clear_mm, 0, 10);
  demand(run_below_mm >= narrowest_mm, "run_below_mm", run_below_mm, "at least narrowest_mm");
  demand(column_from_mm >= run_below_mm, "column_from_mm", column_from_mm, "at least run_below_mm");
  demand(column_to_mm > column_from_mm, "column_to_mm", column_to_mm, "more than column_from_mm");
  demand(longest_mm >= 2 * shortest_mm, "longest_mm", longest_mm, "at least twice shortest_mm");
  demand(fill_stitch_mm <= longest_mm, "fill_stitch_mm", fill_stitch_mm, "at most longest_mm");
  demand(run_mm <= longest_mm, "run_mm", run_mm, "at most longest_mm");
}

Recipe recipe_for(Style style) {
  Recipe recipe;
  recipe.style = style;
  if (style == Style::flat) {
    recipe.compensation_mm = 0.12;
    recipe.longest_mm = 12;
    recipe.column_to_mm = 8;
  }
  return recipe;
}

}  // namespace buckram::digitise
