#include "machine/machine.h"

#include "base/base.h"

#include <fmt/format.h>

#include <cmath>
#include <iterator>

namespace buckram::machine {
namespace {

using stitch::Op;

constexpr double kThreadWidthMm = 0.4;  // size-40 thread as it lies
constexpr double kMarginMm = 2;

geometry::Box box_of(const stitch::Plan& plan) {
  geometry::Box box;
  for (int i = 0; i < plan.size(); ++i) {
    if (plan.op[static_cast<std::size_t>(i)] == Op::sew) box.add(plan.at(i));
  }
  if (box.empty()) box.add(geometry::Point{0, 0});
  return {box.x0 - kMarginMm, box.y0 - kMarginMm, box.x1 + kMarginMm, box.y1 + kMarginMm};
}

// The thread of one block: a line for each run of stitches. Thread that comes from the block
// before starts there, so that the drawing has no holes.
std::string path_of(const stitch::Plan& plan, const stitch::Block& block) {
  std::string path;
  bool is_open = false;
  for (int i = block.first; i < block.first + block.count; ++i) {
    if (!stitch::has_thread(plan, i)) {
      is_open = false;
      continue;
    }
    const geometry::Point from = plan.at(i - 1), to = plan.at(i);
    if (!is_open) fmt::format_to(std::back_inserter(path), "M{:.3f} {:.3f}", from.x, from.y);
    fmt::format_to(std::back_inserter(path), "L{:.3f} {:.3f}", to.x, to.y);
    is_open = true;
  }
  return path;
}

// An attribute's value, as XML 1.0 section 2.3 wants it.
std::string escaped(std::string_view text) {
  std::string out;
  for (const char c : text) {
    switch (c) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '"':
        out += "&quot;";
        break;
      default:
        out += static_cast<unsigned char>(c) < ' ' ? ' ' : c;
    }
  }
  return out;
}

}  // namespace

std::string write_svg(const stitch::Plan& plan) {
  const geometry::Box box = box_of(plan);
  std::string text = fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0:.3f}mm\" height=\"{1:.3f}mm\" "
      "viewBox=\"{2:.3f} {3:.3f} {0:.3f} {1:.3f}\">\n"
      "<g transform=\"scale(1 -1)\" fill=\"none\" stroke-width=\"{4:g}\" "
      "stroke-linecap=\"round\" stroke-linejoin=\"round\">\n",
      box.width(), box.height(), box.x0, -box.y1, kThreadWidthMm);
  for (const stitch::Block& block : plan.blocks) {
    const std::string path = path_of(plan, block);
    if (path.empty()) continue;
    const auto& thread = plan.threads[static_cast<std::size_t>(block.thread)];
    fmt::format_to(std::back_inserter(text),
                   "<path data-object=\"{}\" data-layer=\"{}\" stroke=\"{}\" d=\"{}\"/>\n",
                   block.object, stitch::name(block.layer), escaped(thread.rgb), path);
  }
  return text + "</g>\n</svg>\n";
}

}  // namespace buckram::machine
