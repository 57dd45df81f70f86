// plan.json, version 1 (docs/files.md has the field table).
#pragma once

#include "stitch/plan.h"

#include <string>
#include <string_view>

namespace buckram::stitch {

// Coordinates rounded to 0.001 mm; the same plan gives the same bytes. Law: writing what was read
// from our own bytes gives those bytes; unknown fields are kept.
std::string write_plan(const Plan& plan);

// Throws Error{bad_stitches}: not JSON, not a plan, a version that is not 1, wrong types, arrays of
// different length, form broken (check_form). Input is untrusted.
Plan read_plan(std::string_view bytes, const std::string& where);

}  // namespace buckram::stitch
