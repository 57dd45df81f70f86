// The minutes that a cap takes in an order: sewing, stops, mounting.
//
// On a machine of several heads all sew at once, one cap each, and all wait when one stops: sewing
// is shared by the heads, stops are not, and one operator mounts cap after cap. So per cap, with
// n stitches, B metres of bobbin thread, b expected needle breaks and H heads:
//   sewing / H + B / bobbin_m change_s + n / 10,000 rate break_s + b needle_break_s + mounting
// Bobbins are counted as used up evenly; spare frames that are mounted while the machine sews are
// not counted, so an order with them is done sooner.
#pragma once

#include "cap/cap.h"
#include "stitch/stitch.h"

#include <string>
#include <string_view>

namespace buckram::advise {

// data/times.toml, where each figure's source is. Seconds and metres.
struct ShopTimes {
  stitch::MachineTimes machine;
  double bobbin_m = 100, bobbin_change_s = 45;
  double thread_breaks_per_10000 = 0.3, thread_break_s = 90;  // stitches
  double needle_break_s = 300;
};
// Throws Error{bad_data} naming key, value and range.
ShopTimes read_times(std::string_view toml, const std::string& where);

struct Minutes {        // seconds a cap
  double sewing_s = 0;  // with trims, thread changes and moves; this head's share
  double bobbins_s = 0, thread_breaks_s = 0, needle_breaks_s = 0, mounting_s = 0;
  double total_s() const {
    return sewing_s + bobbins_s + thread_breaks_s + needle_breaks_s + mounting_s;
  }
};

// Machine seconds for one cap's stitches, trims, changes and moves on that bench.
double sewing_s(const stitch::Plan& plan, double speed_spm, const stitch::MachineTimes& times);

// Laws: more heads never take longer a cap; every part is at least nothing.
Minutes minutes_of(const stitch::Plan& plan, const cap::Setup& setup, const ShopTimes& times,
                   double bobbin_m, double breaks_per_cap);

}  // namespace buckram::advise
