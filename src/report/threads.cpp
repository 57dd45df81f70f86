#include "report/threads.h"

#include <array>

namespace buckram::report {
namespace {

geometry::Point place(const stitch::Plan& plan, int i) {
  const geometry::Point p = plan.at(i);
  return {p.x, -p.y};
}

}  // namespace

ThreadColours thread_colours(Colour thread, Colour paper) {
  const double dark = contrast(thread, paper) < 1.6 ? 0.55 : 0.38;
  return {mix(thread, kBlack, dark), thread, with_opacity(mix(thread, kWhite, 0.45), 0.7)};
}

Path block_path(const stitch::Plan& plan, const stitch::Block& block) {
  Path path;
  bool is_open = false;
  for (int i = block.first; i < block.first + block.count; ++i) {
    if (!stitch::has_thread(plan, i)) {
      is_open = false;
      continue;
    }
    if (!is_open) path.move(place(plan, i - 1));
    path.line(place(plan, i));
    is_open = true;
  }
  return path;
}

Picture draw_threads(const stitch::Plan& plan, Colour paper, const ThreadStrokes& strokes) {
  Picture picture;
  for (const stitch::Block& block : plan.blocks) {
    Path path = block_path(plan, block);
    if (path.empty()) continue;
    const Colour thread = parse_colour(plan.threads[static_cast<std::size_t>(block.thread)].rgb);
    const ThreadColours colours = thread_colours(thread, paper);
    Shape shape{std::move(path), {}, {}};
    if (strokes.edge_mm > 0) shape.pens.push_back({colours.edge, strokes.edge_mm, {}, true});
    shape.pens.push_back({colours.body, strokes.body_mm, {}, true});
    if (strokes.light_mm > 0) shape.pens.push_back({colours.light, strokes.light_mm, {}, true});
    picture.add(std::move(shape));
  }
  return picture;
}

Picture draw_faint(const stitch::Plan& plan, const Pen& pen) {
  Path all;
  for (const stitch::Block& block : plan.blocks) {
    if (block.layer != stitch::Layer::top) continue;
    const Path path = block_path(plan, block);
    const int shift = static_cast<int>(all.points.size());
    for (const Path::Chain& chain : path.chains)
      all.chains.push_back({chain.first + shift, chain.closed});
    all.points.insert(all.points.end(), path.points.begin(), path.points.end());
  }
  Picture picture;
  if (!all.empty()) picture.stroke(std::move(all), pen);
  return picture;
}

Picture draw_hazard(const stitch::Plan& plan, std::span<const double> hazard) {
  std::array<Path, 6> classes;
  int last_class = -1;
  for (int i = 1; i < plan.size(); ++i) {
    const auto at = static_cast<std::size_t>(i);
    if (!stitch::has_thread(plan, i) || at >= hazard.size()) {
      last_class = -1;
      continue;
    }
    const int k = hazard_class(hazard[at]);
    Path& path = classes[static_cast<std::size_t>(k)];
    if (k != last_class) path.move(place(plan, i - 1));
    path.line(place(plan, i));
    last_class = k;
  }
  Picture picture;
  // Classes 1 and 2 are faint on paper, so everything gets an ink edge first.
  for (const Path& path : classes)
    if (!path.empty()) picture.stroke(path, {kLine, 0.46, {}, true});
  for (std::size_t k = 0; k < classes.size(); ++k)
    if (!classes[k].empty())
      picture.stroke(std::move(classes[k]), {kHazard[k], k < 4 ? 0.36 : 0.46, {}, true});
  return picture;
}

}  // namespace buckram::report
