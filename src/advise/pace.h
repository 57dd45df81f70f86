// How fast each block of stitches is sewn: slower only where it pays.
//
// The break forecast at a few speeds, from the bench's down to the slowest, is summed by block;
// then the speeds are chosen that cost least, counting seconds, breaks (each as many seconds as it
// costs) and a little for every change of speed. Blocks add up, and a change of speed looks at the
// block before only, so the best choice is exact by dynamic programming over blocks (R. Bellman,
// Dynamic Programming, 1957). When the breaks then still pass the shop's limit, each is counted
// dearer, just as much as brings them under it: the least time that keeps the limit, up to the step
// between two such prices. Where even the slowest speed would not get there, only what pays is
// slowed.
#pragma once

#include "cap/cap.h"
#include "needle/hazard.h"
#include "stitch/stitch.h"

#include <cstdint>
#include <vector>

namespace buckram::advise {

struct PaceOptions {
  double limit_breaks_per_cap = 0.02;
  double break_cost_s = 900;  // what one break costs, as time
  double speed_change_s = 3;  // what one change of speed must save
  double sewing_share = 1;  // of the machine's time that falls to a cap: several heads sew at once
  std::uint64_t seed = 1;
  int draws = needle::ForecastOptions{}.draws;
};

// What a block takes and risks at each level of speed; level 0 is the fastest.
struct BlockCost {
  std::vector<double> seconds, breaks;
};

// Level of every block, cheapest in all with `break_cost_s` a break; of equal ones the faster.
// O(blocks levels^2).
std::vector<int> cheapest_levels(const std::vector<BlockCost>& blocks, double break_cost_s,
                                 double speed_change_s);

// Sets the plan's block speeds for the setup: from `bench.speed_spm` in at most three steps down to
// `bench.slowest_spm`. Without a slowest speed, or with one that is no slower than the bench,
// blocks have no speed of their own. Returns whether any block has. O(speeds) forecasts without
// drivers, interval and words. Throws Error{cancelled}.
// Laws: never faster than the bench, never slower than slowest_spm; a dearer break never comes with
// more breaks.
bool set_pace(stitch::Plan& plan, const cap::Setup& setup, const needle::Mechanics& mechanics,
              const PaceOptions& options = {}, const base::Watch& watch = {});

// An unbroken run of stitches at one speed below the bench's; stitches numbered from 1 as the
// machine counts them.
struct SlowRun {
  int first = 0, last = 0;
  double spm = 0;
};
std::vector<SlowRun> slow_runs(const stitch::Plan& plan, double bench_spm);

}  // namespace buckram::advise
