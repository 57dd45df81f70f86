// A shop's own cap or mount, from a few measurements and the shipped one that it is like.
//
// What is not measured is taken over from the cap or mount that the measures name as `like`. Of a
// cap three or more places up the middle of the front are measured: the height above the bill seam
// and how far the front stands behind a straightedge held upright there. docs/own-caps.md says
// how, with a table of the keys.
//
// The crown's profile (cap/crown.h) is fitted by least squares on the distance at right angles
// between each place and the profile, in units of what a rule on cloth can tell, with the figures
// of `like` as weak priors: places that reach only half way up say little of where the crown turns
// level (Levenberg-Marquardt: J. J. More, LNM 630 (1978) 105; Eigen's). The places alone, without
// priors and without the arc to the button, were tried and rejected: the lean then came out tens of
// degrees wrong on some crowns.
#pragma once

#include "cap/crown.h"

#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace buckram::cap {

struct ProfilePlace {
  double height_mm = 0;   // above the bill seam, along the straightedge
  double setback_mm = 0;  // of the front behind it; below 0 where the front bulges past it
};

struct CrownFit {
  CrownShape shape;
  double worst_mm = 0;      // the farthest that a measured place lies off the profile
  bool has_settled = true;  // false: the search ended without settling, do not use the shape
};

// Profile of head circumference 2 pi r0 through the places; `to_button_mm` is the arc from bill
// seam to button where it was measured. Requires three places or more. `r0_mm` is kept.
// Accuracy (tests): with places 20, 45 and 70 mm up read to 0.7 mm and the arc to 3 mm the setback
// is within 1.3 mm below 70 mm and the lean within 3 degrees between 10 and 60, each in 95 of 100
// crowns.
CrownFit fit_crown(double r0_mm, const std::vector<ProfilePlace>& places,
                   std::optional<double> to_button_mm, const CrownShape& like);

struct DescribedCap {
  Cap cap;
  std::vector<ProfilePlace> places;
  CrownFit fit;
};

// Finds the TOML text of a cap or mount by the name or file that `like` gives.
using FindSource = std::function<std::string(const std::string& like)>;

// Measures (TOML) to a cap or mount called `name`. Throw Error{bad_data} naming file, key, value
// and range: an unknown key, fewer than three places, heights that do not rise, or a profile that
// cannot be fitted.
DescribedCap describe_cap(std::string_view measures, const std::string& where,
                          const std::string& name, const FindSource& find);
Mount describe_mount(std::string_view measures, const std::string& where, const std::string& name,
                     const FindSource& find);

// The data file of a cap or mount, with comments. Law: reading it gives the same back, the crown to
// 0.01 mm, 0.01 degrees and 0.001 of m, the ringing to 0.01 Hz.
std::string write_cap(const Cap& cap);
std::string write_mount(const Mount& mount);

}  // namespace buckram::cap
