// The bench's levers: what the shop can change without touching the stitches.
#pragma once

#include "advise/owned.h"
#include "cap/cap.h"
#include "stitch/stitch.h"

#include <string>
#include <vector>

namespace buckram::advise {

// One setting of a lever, other than as it stands.
struct Level {
  std::string id;     // "bench.packing_mm=0.5"
  std::string words;  // a verb first, then the amount
  std::string why;
  std::string caution;  // where it touches a machine, else empty
  double once_s = 0;    // to set up, once an order (estimates, from memory)
  double each_s = 0;    // for every cap
  cap::Bench bench;     // only this lever's fields are meant: see `apply`
};

enum class LeverKind { raise, packing, clips, pressed, foot, needle, speed, tautness, backing };

struct Lever {
  LeverKind kind = LeverKind::raise;
  std::vector<Level> levels;  // at least one
};

struct LeverOptions {
  std::vector<std::string> locked;  // "bench.raise_mm" or "bench.raise_mm=2"
  double heaviest_tex = 27;         // of the plan's threads; decides which needles carry them
  Owned owned{};                    // nothing beyond it is offered
};

// Slower is not offered: common practice on caps is 600 to 700 (no source), and below this the time
// lost passes what the forecast gains.
inline constexpr double kSlowestSpm = 500;
// Nor below what the shop has named.
double slowest_spm(const Owned& owned);

// Levers that have a setting left to offer. Never beyond the mount's max_raise_mm, never a foot
// that would press on the seam, no clips nor pressing for panels that are not sewn up, only needles
// whose eye suits the thread. Backing is only ever taken
// out, and only beyond what is usual for the front: whether less would hold the design in place
// is not computed.
std::vector<Lever> levers(const cap::Setup& setup, const std::vector<cap::Needle>& needles,
                          const LeverOptions& options);

// What words shall not offer (needle::ForecastOptions::locked): the keys of levers that have no
// setting left, locked or not owned, and the kinds of needle that there are none of.
std::vector<std::string> out_of_reach(const cap::Setup& setup, const std::vector<Lever>& levers);

// `bench` with that lever moved to that level.
cap::Bench apply(cap::Bench bench, LeverKind kind, const Level& level);

// Whether plate and packing together stay within what the mount allows.
bool is_allowed(const cap::Bench& bench, const cap::Mount& mount);

}  // namespace buckram::advise
