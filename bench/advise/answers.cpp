// How long does a shop wait for advice on a design of about 10,000 stitches? In one run: forecast
// and single changes ranked, the whole search (plan --auto), the counter's answer for six caps on
// three mounts, and how soon each stops when it is told to. Goals: 2, 20 and 5 s on two cores; 0.5
// s to stop. Beside each the time of one bare forecast of the same plan.
#include "job/job.h"

#include <fmt/format.h>

#include <chrono>
#include <ctime>
#include <functional>
#include <string>
#include <thread>
#include <vector>

namespace {

using namespace buckram;
using Clock = std::chrono::steady_clock;

const job::DataFolder kData{BUCKRAM_ROOT "/data"};
const std::vector<std::string> kMounts{"rotary", "rotary-raised", "flat-cap-hoop"};

struct Took {
  double wall_s = 0, processor_s = 0;
};

Took took(const std::function<void()>& work) {
  const auto start = Clock::now();
  const std::clock_t cpu = std::clock();
  work();
  const std::chrono::duration<double> wall = Clock::now() - start;
  return {wall.count(), static_cast<double>(std::clock() - cpu) / CLOCKS_PER_SEC};
}

// Seconds from the flag, raised when that share of the whole has passed, until the work has
// stopped.
double stopped_after(double share, double whole_s,
                     const std::function<void(const base::Watch&)>& work) {
  base::StopFlag stop{false};
  Clock::time_point raised;
  bool was_stopped = false;
  std::thread raiser([&] {
    std::this_thread::sleep_for(std::chrono::duration<double>(share * whole_s));
    raised = Clock::now();
    stop.store(true);
  });
  Clock::time_point ended;
  try {
    work({{}, &stop});
  } catch (const base::Error& error) {
    was_stopped = error.code == base::ErrorCode::cancelled;
  }
  ended = Clock::now();
  raiser.join();
  return was_stopped ? std::chrono::duration<double>(ended - raised).count() : 0;
}

void tell(const char* what, const Took& t, double goal_s, double forecast_s,
          const std::function<void(const base::Watch&)>& work) {
  double latest = 0;
  for (const double share : {0.15, 0.4, 0.65, 0.9})
    latest = std::max(latest, stopped_after(share, t.wall_s, work));
  fmt::print("{:44} {:7.2f} {:7.2f} {:6.1f} {:6.2f} {:9.1f} {:9.2f}\n", what, t.wall_s,
             t.processor_s, goal_s, t.wall_s / goal_s, t.wall_s / forecast_s, latest);
  std::fflush(stdout);
}

}  // namespace

int main() {
  const job::Job asked =
      job::read_job("", "answers", "",
                    {"artwork.file=" BUCKRAM_ROOT "/examples/skerry-light-badge.svg",
                     "artwork.height_mm=58", "order.caps=48", "stitch.row_spacing_mm=0.24",
                     "stitch.column_spacing_mm=0.24", "bench.speed_spm=900", "bench.tautness=0.5"});
  const job::Resolved job = job::resolve(asked, kData);
  const artwork::Drawing drawing = job::read_artwork(asked);
  const job::Planned planned = job::plan_stitches(job, drawing);
  if (!planned.plan) return 1;
  needle::ForecastOptions bare;
  bare.with_drivers = bare.with_interval = bare.with_words = false;
  const auto forecast = [&] { needle::forecast(*planned.plan, job.setup, *job.mechanics, bare); };
  forecast();
  const double forecast_s = took(forecast).wall_s;
  fmt::print("{} stitches; a bare forecast takes {:.3f} s\n\n",
             stitch::count(*planned.plan).stitches, forecast_s);
  fmt::print("{:44} {:>7} {:>7} {:>6} {:>6} {:>9} {:>9}\n", "", "wall s", "cpu s", "goal", "ratio",
             "forecasts", "stops in");

  const auto singles = [&](const base::Watch& watch) {
    job::check_plan(job, *planned.plan, watch);
  };
  tell("forecast, single changes ranked, best set", took([&] { singles({}); }), 2, forecast_s,
       singles);
  const auto counter = [&](const base::Watch& watch) {
    job::counter_answers(asked, kData, drawing, job::caps_from("", kData), kMounts, watch);
  };
  tell("offer: six caps on three mounts", took([&] { counter({}); }), 5, forecast_s, counter);
  const auto whole = [&](const base::Watch& watch) {
    job::improve_job(job, drawing, planned, watch);
  };
  tell("plan --auto: stitches and bench in turn", took([&] { whole({}); }), 20, forecast_s, whole);
}
