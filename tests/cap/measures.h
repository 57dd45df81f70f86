// What a shop might measure on a cap: for the tests of cap/ and of the program.
#pragma once

namespace buckram::cap::testing {

inline constexpr const char* kMeasures = R"(
like = "six-panel-structured-mid"
circumference_mm = 580
to_button_mm = 171
[[profile]]
height_mm = 20
setback_mm = 1.5
[[profile]]
height_mm = 45
setback_mm = 5.5
[[profile]]
height_mm = 70
setback_mm = 14
[seam]
ridge_mm = 0.9
)";

}  // namespace buckram::cap::testing
