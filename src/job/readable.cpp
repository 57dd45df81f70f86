#include "job/readable.h"

#include <fmt/format.h>

#include <algorithm>

namespace buckram::job {
namespace {

bool is_lettering(const Job& job) {
  return job.artwork_file.empty() && !job.lettering.text.empty();
}

}  // namespace

std::optional<artwork::Note> unreadable(const Resolved& job, const Planned& planned,
                                        const advise::Coverage& coverage) {
  const geometry::Box& box = planned.regions.box;
  const auto note = [&](std::string why) {
    return artwork::Note{"unreadable", is_lettering(job.job) ? job.job.lettering.text : "artwork",
                         box.middle(), std::move(why)};
  };
  const double lowest = kLowestCapitalsMm * job.recipe.thread_mm / 0.4;
  if (is_lettering(job.job) && box.height() < lowest - 0.05) {
    return note(fmt::format(
        "letters {:.1f} mm high do not read in thread. Make them at least {:.0f} mm high",
        box.height(), lowest));
  }
  if (coverage.spilled > kMostSpilled) {
    return note(fmt::format(
        "at {:.0f} mm tall its details are finer than thread: {:.0f} % more cloth is covered than "
        "the artwork has. Make it taller, or simpler",
        box.height(), coverage.spilled));
  }
  const double lost = coverage.missed + coverage.left_out;
  if (lost > kMostLost) {
    return note(
        fmt::format("at {:.0f} mm tall {:.0f} % of it cannot be sewn. Make it taller, or "
                    "simpler",
                    box.height(), lost));
  }
  return std::nullopt;
}

}  // namespace buckram::job
