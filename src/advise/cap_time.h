// The time that a cap takes in an order: sewing, stops, mounting.
//
// On a machine of several heads all sew at once, one cap each, and all wait when one stops: a load
// of caps shares its sewing, stops are not shared, and one operator mounts cap after cap. So a cap
// takes, with n stitches, B metres of bobbin thread and b expected needle breaks,
//   share sewing + B / bobbin_m change_s + n / 10,000 rate break_s + b needle_break_s + mounting
// where share = ceil(caps / heads) / caps. Bobbins are counted as used up evenly; spare frames that
// are mounted while the machine sews are not counted, so an order with them is done sooner.
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
  double needle_break_s = 300;                                // until the machine sews again
  double break_cost_s = 900;  // what a needle break costs, as time: with a share of a spoilt cap
  double speed_change_s = 3;  // what a change of speed must save to be worth it
  bool operator==(const ShopTimes&) const = default;
};
// Throws Error{bad_data} naming key, value and range.
ShopTimes read_times(std::string_view toml, const std::string& where);

struct CapTime {        // seconds a cap
  double sewing_s = 0;  // with trims, thread changes and moves: this cap's share
  double bobbins_s = 0, thread_breaks_s = 0, needle_breaks_s = 0, mounting_s = 0;
  double total_s() const {
    return sewing_s + bobbins_s + thread_breaks_s + needle_breaks_s + mounting_s;
  }
};

// Share of a load's sewing that falls to one cap of the order: ceil(caps / heads) / caps.
// Requires both > 0. Laws: 1 on one head; never rises with the heads.
double sewing_share(int heads, int caps);

// Machine seconds for the stitches, trims, changes and moves of one cap.
double sewing_s(const stitch::Plan& plan, double speed_spm, const stitch::MachineTimes& times);

// This cap's share of that.
double sewing_share_s(const stitch::Plan& plan, double speed_spm, const ShopTimes& times, int heads,
                      int caps);

// Laws: more heads never take longer; every part is at least nothing.
CapTime cap_time(const stitch::Plan& plan, const cap::Setup& setup, const ShopTimes& times,
                 int caps, double bobbin_m, double breaks_per_cap);

}  // namespace buckram::advise
