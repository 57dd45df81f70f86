// How fast each block of stitches is sewn: slower only where it pays.
//
// The break forecast at a few speeds, from the bench's down to the slowest, is summed by block;
// then the speeds are chosen that cost least, counting seconds, breaks (each as many seconds as it
// costs) and a little for every change of speed. Blocks add up, and a change of speed looks at the
// block before only, so the best choice is exact by dynamic programming over blocks (R. Bellman,
// Dynamic Programming, 1957). When the breaks then still pass the shop's limit, each is counted
// dearer, just as much as brings them under it, if the slowest speed can: the least time that keeps
// the limit, up to the step between two such prices.
#pragma once

#include "cap/cap.h"
#include "needle/hazard.h"
#include "stitch/stitch.h"

#include <cstdint>
#include <vector>

namespace buckram::advise {

struct PaceOptions {
  double limit_breaks_per_cap = 0.02;
  double break_s = 900;  // what one break costs, as time
  double switch_s = 3;   // what one change of speed costs (estimate, from memory)
  std::uint64_t seed = 1;
};

// Speeds of blocks by choice, per block `spm[level]`, from what a block takes and risks at each.
struct BlockCost {
  std::vector<double> seconds, breaks;  // per level
};
// Level of every block, cheapest in all with `break_s` a break; of equal ones the faster (lower
// level). O(blocks levels^2).
std::vector<int> cheapest_levels(const std::vector<BlockCost>& blocks, double break_s,
                                 double switch_s);

// Sets the plan's block speeds for the setup: from `bench.speed_spm` in at most three steps down to
// `bench.slowest_spm`. Without a slowest speed, or with one that is no slower than the bench,
// blocks have no speed of their own. Returns whether any block has. Laws: never faster than the
// bench, never slower than slowest_spm; a dearer break is never sewn with more breaks (as summed
// here: 64 caps).
bool set_pace(stitch::Plan& plan, const cap::Setup& setup, const needle::Mechanics& mechanics,
              const PaceOptions& options = {});

// An unbroken run of stitches at one speed below the bench's; stitches numbered from 1 as the
// machine counts them.
struct SlowRun {
  int first = 0, last = 0;
  double spm = 0;
};
std::vector<SlowRun> slow_runs(const stitch::Plan& plan, double bench_spm);

}  // namespace buckram::advise
