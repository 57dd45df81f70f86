// Which set of levers to move.
//
// The forecast of a set costs milliseconds and there are thousands of sets, so: every single
// level is forecast, all sets are ranked by the product of their single effects raised to one
// exponent (levers that close the same gap help less together than apart), the best few are
// forecast, the exponent is fitted to what came out, and this is repeated once; then each lever of
// the best set is tried at every other level until nothing improves. Exact enumeration of
// forecasts was left out (thousands of them); the test compares with it on small cases.
#pragma once

#include <functional>
#include <vector>

namespace buckram::advise {

// Level per lever; 0 = as it stands, i = the lever's level i-1.
using Choice = std::vector<int>;

struct SearchProblem {
  std::vector<int> n_levels;                      // per lever, the standing one not counted
  std::function<double(const Choice&)> breaks;    // expected a cap, >= 0; costly
  std::function<double(const Choice&)> seconds;   // a cap, more than as it stands; cheap
  std::function<bool(const Choice&)> is_allowed;  // cheap
  double limit = 0.02;                            // breaks a cap that the shop accepts
  double break_s = 900;                           // what one break costs, as time
  double bother_s = 3;                            // what each change costs by itself, a cap
  int n_full = 10;                                // sets forecast a round
};

// A set that no other is better than in both breaks and time.
struct FrontPoint {
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
  std::vector<FrontPoint> front;           // of the sets that were forecast; by seconds
  int n_forecasts = 0;
};

// Share of the breaks that a change must save to be kept.
inline constexpr double kLeastGain = 0.02;

// Laws: the front falls in breaks as it rises in seconds; the best set is allowed; no single other
// level of one lever is better; under the limit whenever a set that was forecast is.
SearchResult search(const SearchProblem& problem);

}  // namespace buckram::advise
