// What a plan amounts to: counts, lengths, time, thread.
#pragma once

#include "stitch/plan.h"

#include <optional>
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
  bool operator==(const MachineTimes&) const = default;
};
// Time at the end of each entry, from 0; stitches at `speed_spm` > 0, or at their block's speed
// where that is slower. Requires check_form(plan). Monotone: no entry takes less than no time, and
// a slower machine is nowhere earlier.
std::vector<double> timeline(const Plan& plan, double speed_spm, const MachineTimes& times = {});

// Lockstitch type 301 (ISO 4915). The rectangular model, C = 2 + 2 T S per unit length with
// S = 1 / L (worked example in the test): a stitch of length L through a stack of thickness T uses
// L + 2 alpha T of needle thread and L + 2 (1 - alpha) T of bobbin thread, the threads crossing at
// the fraction alpha of T. To that comes the threads' own thickness d: a centre line lies half a
// thread outside the cloth and passes half a thread beyond the crossing on both legs, 2 d a stitch
// for each of the two (corners taken square, so a little long; the cloth's give under tension and
// the thread that already lies there are left out, which about cancel).
// Against common practice (no source): about 5 m of needle and 3 to 3.5 m of bobbin thread for
// 1,000 stitches; the model gives 4.7 and 3.4 m for stitches of 2.5 mm in goods of 1 mm (test).
struct LockStitch {
  // Embroidery pulls the needle thread to the back, so that it shows there on both sides of the
  // bobbin thread (common practice). 0.5 is a seam for wear; 0.8 is what brings needle and bobbin
  // thread to the reckoning above, 1.5 to 1.7 to 1; at 0.7 it would be 1.3 to 1.5.
  double alpha = 0.8;
  std::optional<double> thread_mm{};  // d of both threads; empty: from the needle thread's tex
  // Lost at every trim, the start that follows included (estimates, from memory).
  double needle_tail_mm = 60, bobbin_tail_mm = 30;
};
struct ThreadUse {
  std::vector<double> needle_m;  // per thread
  double bobbin_m = 0;
};
// Requires stack_mm and the model's lengths >= 0 and 0 <= alpha <= 1. O(entries).
ThreadUse thread_use(const Plan& plan, double stack_mm, const LockStitch& model = {});

// Diameter of a thread of that tex (g/km): a round rod of fibre of 1.38 g/cm3 (polyester) that
// fills 65 % of it (F. T. Peirce, J. Text. Inst. 28 (1937) T45, the formula from memory; the share
// is an estimate). 27 tex: 0.20 mm.
double thread_diameter_mm(double tex);

}  // namespace buckram::stitch
