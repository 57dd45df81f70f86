// What of a plan does not depend on the stitches that single objects have of their own. Not part of
// the door.
#pragma once

#include "job/job.h"
#include "job/placement.h"

namespace buckram::job {

// Artwork to ordered objects. `refusal` as in Planned; then there are no objects.
struct Groundwork {
  Fit fit;
  std::string refusal;
  geometry::Affine placement;
  geometry::Box painted;  // of the artwork, in its own units
  artwork::Regions regions;
  digitise::Digitised digitised;
  sequence::Order order;
  std::vector<artwork::Note> notes;
};
Groundwork groundwork(const Resolved& job, const artwork::Drawing& drawing,
                      const base::Watch& watch = {});

// Law: plan_stitches(job) is the same to the last bit as plan_on() with the groundwork of any job
// that differs from `job` in Job::objects alone. For a change of one object the cost of laying its
// stitches, not of ordering the design. Throws as plan_stitches.
Planned plan_on(const Groundwork& ground, const Resolved& job, const base::Watch& watch = {});

}  // namespace buckram::job
