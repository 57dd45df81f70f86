// What the trade keeps to, against this plan: a report beside the forecast, never part of it.
#pragma once

#include "advise/verdict.h"

#include <string_view>
#include <vector>

namespace buckram::advise {

// data/practice.toml holds [[row]] tables:
//   id        the rule's name, "T9"
//   words     what it says
//   measure   lowest_stitch_mm, height_mm, longest_stitch_mm, speed_spm, needle_mm, foot_mm
//   at_least, at_most   one or both; unit
//   mounts    "any", "rotary" or "flat": where it holds; fronts "any", "structured" or "soft"
// Rows that do not hold for this cap and mount are left out. Throws Error{bad_data}.
std::vector<PracticeRow> practice(const stitch::Plan& plan, const cap::Setup& setup,
                                  std::string_view toml);

}  // namespace buckram::advise
