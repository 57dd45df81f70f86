#include "job/job.h"

#include <fmt/format.h>

namespace buckram::job {

std::vector<geometry::Point> outside_reach(const Resolved& job, const stitch::Plan& plan) {
  constexpr double kRoundingMm = 0.1;
  const stitch::Within reach(geometry::offset(cap::reach(job.setup), kRoundingMm));
  std::vector<geometry::Point> outside;
  for (int i = 0; i < plan.size(); ++i) {
    const bool is_sewn = plan.op[static_cast<std::size_t>(i)] == stitch::Op::sew;
    if (is_sewn && !reach.contains(plan.at(i))) outside.push_back(plan.at(i));
  }
  return outside;
}

void refuse_outside_reach(const Resolved& job, const stitch::Plan& plan, const std::string& where) {
  const std::vector<geometry::Point> outside = outside_reach(job, plan);
  if (outside.empty()) return;
  throw base::Error{base::ErrorCode::limit_broken,
                    fmt::format("{} stitches lie where the needle cannot go on {} in the {}, the "
                                "first at {:.1f}, {:.1f} mm",
                                outside.size(), job.setup.cap.title, job.setup.mount.title,
                                outside.front().x, outside.front().y),
                    where, "Choose the cap and mount it was made for, or move the design"};
}

}  // namespace buckram::job
