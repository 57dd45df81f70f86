// The bench's side of advice: the levers there are for a plan, what each level costs in time, and
// the forecasts that the search over them asks for. Not part of the door.
#pragma once

#include "advise/levers.h"
#include "advise/search.h"
#include "advise/verdict.h"

#include <vector>

namespace buckram::advise {

// What is judged. Refers to what outlives it.
struct Judged {
  const stitch::Plan& plan;
  const cap::Setup& setup;
  const needle::Mechanics& mechanics;
  const JudgeOptions& options;
  const base::Watch& watch;
};

struct BenchLevers {
  std::vector<Lever> levers;
  std::vector<std::vector<double>> seconds;  // a cap, that each level adds; beside `levers`

  const Level& level(std::size_t lever, int choice) const {  // choice 1 and up
    return levers[lever].levels[static_cast<std::size_t>(choice) - 1];
  }
};
// Setting up is shared over the order; slower sewing counts at the bench's speed throughout.
BenchLevers bench_levers(const Judged& judged, const std::vector<cap::Needle>& needles);

cap::Bench bench_with(const cap::Bench& bench, const BenchLevers& levers, const Choice& choice);

// Which set of levers to move, on screened forecasts that are put on the scale of `full`, the full
// forecast of the plan as it stands: both meet the same limit. Keeps references to all it is given.
SearchProblem bench_problem(const Judged& judged, const BenchLevers& levers, double full);

// Of a plan on a bench, without drivers and words; the same caps are drawn for every bench.
needle::Forecast forecast_on(const Judged& judged, const stitch::Plan& plan,
                             const cap::Bench& bench, bool with_interval);
double breaks_on(const Judged& judged, const stitch::Plan& plan, const cap::Bench& bench);

// This cap's share of the machine's seconds for the plan at that speed.
double sewing_share_s(const Judged& judged, const stitch::Plan& plan, double speed_spm);

}  // namespace buckram::advise
