// Time on the machine, against a count of what the machine file asks for, line by line.
#include "job/job.h"

#include "machine/machine.h"

#include <gtest/gtest.h>

#include <sstream>
#include <string>

namespace buckram::job {
namespace {

struct Events {
  int stitches = 0, moves = 0, trims = 0, changes = 0, stops = 0;
};

Events events_in(const std::string& gcode) {
  Events events;
  std::istringstream lines(gcode);
  for (std::string line; std::getline(lines, line);) {
    events.stitches += line.starts_with("G1 ");
    events.moves += line.starts_with("G0 ");
    events.trims += line.starts_with("M8");
    events.changes += line.starts_with("M0 (thread");
    events.stops += line.starts_with("M0 (stop");
  }
  return events;
}

TEST(Time, OfTheExamplesIsWhatTheirMachineFilesAskFor) {
  for (const char* name : {"keld-harbour-crest", "skerry-light-badge", "tern-and-tide-wordmark"}) {
    SCOPED_TRACE(name);
    const std::string folder = BUCKRAM_ROOT "/examples/";
    const std::string toml = base::read_file(folder + name + ".toml", 1 << 20);
    const std::string svg = base::read_file(folder + name + ".svg", 1 << 20);
    const Resolved job = resolve(read_job(toml, name, "", {}), {.path = BUCKRAM_ROOT "/data"});
    const Planned planned = plan_stitches(job, artwork::read_svg(svg, name));
    ASSERT_TRUE(planned.plan) << planned.refusal;
    const Events events = events_in(machine::write_gcode(*planned.plan, job.setup));
    EXPECT_GT(events.stitches, 2000);
    EXPECT_GT(events.trims, 0);
    const stitch::MachineTimes each;
    const double speed_spm = job.setup.bench.speed_spm;
    const double s = events.stitches * 60 / speed_spm + events.trims * each.trim_s +
                     events.changes * each.change_s + events.stops * each.stop_s +
                     events.moves * each.move_s;
    EXPECT_NEAR(stitch::timeline(*planned.plan, speed_spm).back() / s, 1, 0.01);
  }
}

}  // namespace
}  // namespace buckram::job
