#include "geometry/medial_axis.h"

#include "base/base.h"
namespace buckram::geometry {
MedialAxis pruned(const MedialAxis& axis, double) {
  return axis;
}
std::vector<MedialBranch> branches(const MedialAxis&) {
  return {};
}
}  // namespace buckram::geometry
