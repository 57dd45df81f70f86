// Which set of levers to move.
//
// The forecast of a set costs milliseconds and there are thousands of sets, so: every single
// level is forecast, all sets are ranked by the product of their single effects raised to one
// exponent (levers that close the same gap help less together than apart), the best few are
// forecast, the exponent is fitted to what came out, and this is repeated once. Then each lever of
// the best set is tried at every other level until nothing improves; what that tells, the effect of
// every level beside the best set, ranks all sets anew, and the best few of them are forecast,
// until they bring nothing better. Exact enumeration of forecasts was left out (minutes of them);
// tests and bench/advise/best_set.cpp compare with it.
#pragma once

#include <compare>
#include <functional>
#include <vector>

namespace buckram::advise {

// Level per lever; 0 = as it stands, i = the lever's level i-1.
using Choice = std::vector<int>;

// Share of the breaks that a change must save to be kept.
inline constexpr double kLeastGain = 0.02;
// Seconds a cap that each change costs by itself.
inline constexpr double kBotherS = 3;

// How good a set of changes is: those under the limit first, by cost; the others by breaks. A
// change has to earn its place over the limit too.
struct Score {
  bool is_over = true;
  double cost = 0;
  auto operator<=>(const Score&) const = default;
};
inline Score score_of(double breaks, double seconds, double n_changes, double limit, double break_s,
                      double bother_s = kBotherS) {
  if (breaks > limit) return {true, breaks * (1 + kLeastGain * n_changes)};
  return {false, breaks * break_s + seconds + bother_s * n_changes};
}

struct SearchProblem {
  std::vector<int> n_levels;                      // per lever, the standing one not counted
  std::function<double(const Choice&)> breaks;    // expected a cap, >= 0; costly
  std::function<double(const Choice&)> seconds;   // a cap, more than as it stands; cheap
  std::function<bool(const Choice&)> is_allowed;  // cheap
  double limit = 0.02;                            // breaks a cap that the shop accepts
  double break_s = 900;                           // what one break costs, as time
  double bother_s = kBotherS;
  int n_full = 10;  // sets forecast a round
};

// A set that was forecast.
struct Tried {
  Choice choice;
  double breaks = 0;   // expected a cap
  double seconds = 0;  // a cap, more than as it stands
};

struct SearchResult {
  Choice best;  // cheapest under the limit, else about the one with the fewest breaks
  double breaks = 0;
  bool is_under_limit = false;
  double standing = 0;                     // breaks as it stands
  std::vector<std::vector<double>> alone;  // breaks with one level alone; < 0: not allowed
  std::vector<Tried> tried;                // allowed sets, by choice
  int n_forecasts = 0;
};

// Of a set that was forecast. Requires that it was.
double breaks_of(const SearchResult& found, const Choice& choice);
// The best of sets that were forecast, by the problem's limit and prices. Requires one at least.
Choice best_of(const SearchProblem& problem, const std::vector<Tried>& tried);

// Laws: the best set is allowed; no single other level of one lever is better; under the limit
// whenever a set that was forecast is.
SearchResult search(const SearchProblem& problem);

}  // namespace buckram::advise
