// What a plan amounts to: counts, lengths, time, thread.
#pragma once

#include "stitch/plan.h"

#include <vector>

namespace buckram::stitch {

struct Counts {
  int stitches = 0;  // `sew` entries
  int trims = 0;
  int thread_changes = 0;
  int stops = 0;
  std::vector<int> stitches_per_thread;
  std::vector<double> sewn_mm_per_thread;  // length of thread lying on the cloth
  double longest_mm = 0;
  geometry::Box box;  // of all `sew` entries
};
Counts count(const Plan& plan);

// Seconds the machine takes for what is not a stitch (estimates, from memory; the mount file may
// carry the shop's own).
struct MachineTimes {
  double trim_s = 6;
  double change_s = 8;
  double stop_s = 20;
  double move_s = 0.25;
};
// Time at the end of each entry, from 0; stitches at `speed_spm` > 0. Monotone: no entry takes
// less than no time, and a slower machine is nowhere earlier.
std::vector<double> timeline(const Plan& plan, double speed_spm, const MachineTimes& times = {});

// Lockstitch type 301, rectangular model (ISO 4915; formula C = 2 + 2 T S, worked example in the
// test): a stitch of length L through a stack of thickness T uses L + 2 alpha T of needle thread
// and L + 2 (1 - alpha) T of bobbin thread, the threads crossing at the fraction alpha of T.
// Both together, per unit length with S = 1 / L: C = 2 + 2 T S, whatever alpha. Every trim costs
// both threads a tail of `tail_mm` (estimate, from memory). Requires stack_mm, tail_mm >= 0 and
// 0 <= alpha <= 1.
struct ThreadUse {
  std::vector<double> needle_m;  // per thread
  double bobbin_m = 0;
};
ThreadUse thread_use(const Plan& plan, double stack_mm, double alpha = 0.5, double tail_mm = 40);

}  // namespace buckram::stitch
