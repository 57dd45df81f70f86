#include "job/stitch_changes.h"

#include "job/object_changes.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace buckram::job {
namespace {

void lighten(std::vector<advise::Restitch>& all, const char* key, const char* what, double now_mm,
             double usual_mm) {
  if (now_mm > usual_mm - kDenser) return;
  all.push_back({fmt::format("{}={:g}", key, usual_mm),
                 fmt::format("Set {} {:g} mm apart for {:g} mm", what, usual_mm, now_mm),
                 "Fewer holes, each with less thread around it"});
}

void move_up(std::vector<advise::Restitch>& all, geometry::Point at) {
  for (const double up : {2.0, 4.0, 6.0, 8.0}) {
    all.push_back({fmt::format("artwork.at_mm=[{:.6g}, {:.6g}]", at.x, at.y + up),
                   fmt::format("Move the design up by {:g} mm", up),
                   "The cloth lies nearer to the plate away from the bill"});
  }
}

std::vector<advise::Restitch> design_changes(const Job& pinned, const digitise::Recipe& recipe) {
  std::vector<advise::Restitch> all;
  if (pinned.style == digitise::Style::flat) {
    all.push_back({"stitch.style=cap", "Stitch it as for caps, not as for flat goods",
                   "Lighter under-stitching, shorter longest stitches, wider compensation"});
  }
  if (pinned.order != sequence::Mode::planned) {
    all.push_back({"stitch.order=planned", "Sew from the middle out and from the bill up",
                   "Nothing is sewn over cloth that was gathered before"});
  }
  lighten(all, "stitch.row_spacing_mm", "the rows of fills", recipe.row_mm, kUsualRowMm);
  lighten(all, "stitch.column_spacing_mm", "the threads of columns", recipe.column_mm,
          kUsualColumnMm);
  if (recipe.fill_stitch_mm < kLongestUsualFillMm - kDenser) {
    all.push_back({fmt::format("stitch.fill_stitch_mm={:g}", kLongestUsualFillMm),
                   fmt::format("Lengthen the stitches of fills to {:g} mm", kLongestUsualFillMm),
                   "Fewer times that the needle goes down"});
  }
  if (pinned.at_mm) move_up(all, *pinned.at_mm);
  return all;
}

}  // namespace

std::vector<advise::Restitch> stitch_changes(const Job& pinned, const Resolved& job,
                                             const Planned& planned,
                                             const needle::Forecast& standing) {
  std::vector<advise::Restitch> all = object_changes(job, planned, standing);
  if (!has_locked_object(pinned.locked)) {
    std::vector<advise::Restitch> whole = design_changes(pinned, job.recipe);
    all.insert(all.begin(), whole.begin(), whole.end());
  }
  std::erase_if(
      all, [&](const advise::Restitch& each) { return advise::is_locked(each.id, pinned.locked); });
  return all;
}

}  // namespace buckram::job
