// What an SVG file paints, in paint order, before any geometry is worked out: outlines with their
// colours, clips and the maps that place them. The first of two passes; the second
// (svg_assemble.h) knows how large the whole is and flattens to that.
#pragma once

#include "artwork/drawing.h"
#include "artwork/outline.h"
#include "artwork/svg_style.h"
#include "artwork/xml_tree.h"

#include <optional>
#include <string>
#include <vector>

namespace buckram::artwork {

struct SceneItem {
  Outline outline;
  geometry::Affine to_root;         // to the root's user units
  std::optional<Ink> fill, stroke;  // opacities of the element's paints included
  geometry::FillRule rule = geometry::FillRule::nonzero;
  StrokeLook line;
  bool is_stroke_first = false;
  int clip = -1;  // index into Scene::clips
  std::string source;
};

// Items first to last-1 are composited as one, at this opacity.
struct SceneGroup {
  std::size_t first = 0, last = 0;
  double opacity = 1;
};

struct SceneLayer {
  std::vector<SceneItem> items;
  std::vector<SceneGroup> groups;  // inner ones before the groups that hold them
};

// What lets an item show: the union of the layer's fills, cut by the parent's.
struct SceneClip {
  int parent = -1;
  bool is_mask = false;  // bright parts let show, dark ones hide
  bool is_page = false;  // the edge of the file's own page
  SceneLayer layer;
};

struct Scene {
  SceneLayer layer;
  std::vector<SceneClip> clips;  // parents first
  std::vector<Note> notes;
  double mm_per_unit = 0;
};

// Follows the tree from its root. Throws Error{bad_artwork} past a limit.
Scene build_scene(const XmlTree& tree, const SvgLimits& limits);

}  // namespace buckram::artwork
