// The plan as the page draws it, as JSON.
#pragma once

#include "job/told.h"

#include <string>

namespace buckram::server {

// docs/api.md, "View". Coordinates to 0.01 mm, chances to 4 digits, seconds to 0.1. O(entries).
std::string view_json(int revision, const job::Resolved& job, const stitch::Plan& plan,
                      const advise::Verdict& verdict, const report::Told& told);

// Artwork that cannot be sewn as asked, on the chart.
struct Unfit {
  geometry::Polygons outline;
  geometry::Polygons outside;  // where it would be sewn and the needle cannot go
};
// `placement`: from the drawing's units to the chart, as asked.
Unfit unfit_of(const job::Resolved& job, const artwork::Drawing& drawing,
               const geometry::Affine& placement);

// The same without a plan: the ground, and the artwork's outline.
std::string bare_view_json(int revision, const job::Resolved& job, const Unfit& unfit);

}  // namespace buckram::server
