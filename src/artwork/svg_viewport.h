// viewBox and preserveAspectRatio: how a drawing's own units fill the place it is given.
#pragma once

#include "artwork/outline.h"
#include "artwork/xml_tree.h"
#include "geometry/geometry.h"

#include <optional>

namespace buckram::artwork {

// The element's viewBox; nothing when it has none or one without area.
std::optional<geometry::Box> view_box(const Element& element);

// From viewBox units to a place of the given size at the origin (SVG 1.1, 7.8).
geometry::Affine fit_view_box(const geometry::Box& view_box, const Viewport& place,
                              const std::string* preserve_aspect_ratio);

// How the root stands: its user units are those of its viewBox, or CSS px without one.
struct RootView {
  Viewport viewport;                  // in user units, for percentages
  std::optional<geometry::Box> page;  // what of the plane shows; nothing: all of it
  geometry::Affine stretch;           // identity unless the aspect is not preserved
  double mm_per_unit = 0;             // 0 without a physical size
};
RootView root_view(const Element& root);

}  // namespace buckram::artwork
