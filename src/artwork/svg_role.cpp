#include "artwork/svg_role.h"

#include <map>
#include <set>

namespace buckram::artwork {

Role role_of(std::string_view name) {
  static const std::map<std::string_view, Role> kRoles = {
      {"g", Role::group},       {"a", Role::group},
      {"svg", Role::nested},    {"symbol", Role::symbol},
      {"use", Role::reference}, {"switch", Role::choice},
      {"path", Role::shape},    {"rect", Role::shape},
      {"circle", Role::shape},  {"ellipse", Role::shape},
      {"line", Role::shape},    {"polyline", Role::shape},
      {"polygon", Role::shape}, {"text", Role::text},
      {"image", Role::image},   {"foreignObject", Role::foreign}};
  static const std::set<std::string_view> kUnseen = {"defs",
                                                     "title",
                                                     "desc",
                                                     "metadata",
                                                     "style",
                                                     "script",
                                                     "clipPath",
                                                     "mask",
                                                     "marker",
                                                     "pattern",
                                                     "filter",
                                                     "linearGradient",
                                                     "radialGradient",
                                                     "stop",
                                                     "animate",
                                                     "animateMotion",
                                                     "animateTransform",
                                                     "animateColor",
                                                     "set",
                                                     "font",
                                                     "font-face",
                                                     "view",
                                                     "cursor",
                                                     "color-profile",
                                                     "solidColor",
                                                     "meshgradient",
                                                     "hatch"};
  if (const auto found = kRoles.find(name); found != kRoles.end()) return found->second;
  return kUnseen.contains(name) ? Role::unseen : Role::unknown;
}

}  // namespace buckram::artwork
