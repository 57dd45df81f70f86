// Any bytes as an SVG file: they are refused with base::Error or become regions, within bounds.
#include "artwork/artwork.h"
#include "base/base.h"

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <string_view>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace buckram;
  artwork::SvgLimits limits;
  limits.bytes = 200'000;
  limits.elements = 2'000;
  limits.points = 20'000;
  static const std::vector<artwork::Thread> kThreads = {{"white", "1", {255, 255, 255}, 27},
                                                        {"black", "2", {0, 0, 0}, 27},
                                                        {"red", "3", {200, 30, 30}, 27}};
  try {
    const std::string_view bytes(reinterpret_cast<const char*>(data), size);
    const artwork::Drawing drawing = artwork::read_svg(bytes, "fuzz.svg", limits);
    const double size_units = std::max(drawing.painted.width(), drawing.painted.height());
    artwork::visible_regions(
        drawing, artwork::placement_matrix(drawing, {{0, 40}, 45 / size_units}), kThreads);
  } catch (const base::Error&) {
  }
  return 0;
}
