#include "artwork/drawing.h"

#include "artwork/svg_assemble.h"
#include "artwork/svg_scene.h"
#include "artwork/xml_tree.h"
#include "base/base.h"

namespace buckram::artwork {

Drawing read_svg(std::string_view bytes, const std::string& name, const SvgLimits& limits) {
  const XmlLimits xml{limits.bytes, limits.depth, limits.elements};
  const XmlTree tree = read_xml(bytes, name, xml);
  const Element& root = tree.elements.front();
  if (!root.is_svg || root.name != "svg")
    throw base::Error{
        base::ErrorCode::bad_artwork,
        "the file is XML but not SVG: it starts with <" + root.name.substr(0, 60) + ">", name,
        "export the drawing as SVG"};
  try {
    return assemble(build_scene(tree, limits), name, limits);
  } catch (base::Error& error) {
    if (error.where.starts_with(name)) throw;
    throw base::within(std::move(error), name);
  }
}

}  // namespace buckram::artwork
