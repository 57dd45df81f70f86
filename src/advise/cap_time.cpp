#include "advise/cap_time.h"

#include <algorithm>
#include <cmath>

namespace buckram::advise {

ShopTimes read_times(std::string_view toml, const std::string& where) {
  constexpr base::Range kSeconds{0, 3600};
  const base::Table t = base::Table::parse(toml, where);
  ShopTimes times;
  times.machine.trim_s = t.number("trim_s", kSeconds);
  times.machine.change_s = t.number("change_s", kSeconds);
  times.machine.stop_s = t.number("stop_s", kSeconds);
  times.machine.move_s = t.number("move_s", kSeconds);
  times.bobbin_m = t.number("bobbin_m", {1, 10'000});
  times.bobbin_change_s = t.number("bobbin_change_s", kSeconds);
  times.thread_breaks_per_10000 = t.number("thread_breaks_per_10000", {0, 1000});
  times.thread_break_s = t.number("thread_break_s", kSeconds);
  times.needle_break_s = t.number("needle_break_s", kSeconds);
  times.break_cost_s = t.number("break_cost_s", {0, 100'000});
  times.speed_change_s = t.number("speed_change_s", kSeconds);
  t.refuse_unknown();
  return times;
}

double sewing_share(int heads, int caps) {
  BUCKRAM_ASSERT(heads > 0 && caps > 0);
  return std::ceil(static_cast<double>(caps) / heads) / caps;
}

double sewing_s(const stitch::Plan& plan, double speed_spm, const stitch::MachineTimes& times) {
  const std::vector<double> end_s = stitch::timeline(plan, speed_spm, times);
  return end_s.empty() ? 0 : end_s.back();
}

double sewing_share_s(const stitch::Plan& plan, double speed_spm, const ShopTimes& times, int heads,
                      int caps) {
  return sewing_s(plan, speed_spm, times.machine) * sewing_share(heads, caps);
}

CapTime cap_time(const stitch::Plan& plan, const cap::Setup& setup, const ShopTimes& times,
                 int caps, double bobbin_m, double breaks_per_cap) {
  const double n = stitch::count(plan).stitches;
  return {.sewing_s = sewing_share_s(plan, setup.bench.speed_spm, times, setup.bench.heads, caps),
          .bobbins_s = bobbin_m / times.bobbin_m * times.bobbin_change_s,
          .thread_breaks_s = n / 10'000 * times.thread_breaks_per_10000 * times.thread_break_s,
          .needle_breaks_s = breaks_per_cap * times.needle_break_s,
          .mounting_s = setup.mount.mount_s};
}

}  // namespace buckram::advise
