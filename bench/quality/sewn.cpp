#include "sewn.h"

#include <algorithm>
#include <cmath>

namespace quality {
namespace {

using namespace buckram;

artwork::Rgb rgb_of(std::uint32_t v) {
  return {std::uint8_t(v >> 16U), std::uint8_t(v >> 8U), std::uint8_t(v)};
}

artwork::Rgb rgb_of(const std::string& hex) {
  return rgb_of(static_cast<std::uint32_t>(std::stoul(hex.substr(1), nullptr, 16)));
}

void paint_capsule(const Frame& frame, Spot a, Spot b, int thread, int object, Sewn& sewn) {
  a = frame.cells_of(a), b = frame.cells_of(b);
  const double r = kThreadMm / 2 / frame.pitch, dx = b.x - a.x, dy = b.y - a.y;
  const double length2 = dx * dx + dy * dy;
  const int i0 = std::max(0, int(std::min(a.x, b.x) - r - 1)),
            i1 = std::min(frame.width - 1, int(std::max(a.x, b.x) + r + 1));
  const int j0 = std::max(0, int(std::min(a.y, b.y) - r - 1)),
            j1 = std::min(frame.height - 1, int(std::max(a.y, b.y) + r + 1));
  for (int j = j0; j <= j1; ++j) {
    for (int i = i0; i <= i1; ++i) {
      const double x = i + 0.5 - a.x, y = j + 0.5 - a.y;
      const double t = length2 > 0 ? std::clamp((x * dx + y * dy) / length2, 0.0, 1.0) : 0;
      const double ex = x - t * dx, ey = y - t * dy;
      if (ex * ex + ey * ey > r * r) continue;
      const std::size_t at = std::size_t(j) * frame.width + i;
      if (sewn.count[at] < 255) ++sewn.count[at];
      sewn.top[at] = static_cast<std::int8_t>(thread);
      sewn.object[at] = object;
    }
  }
}

Sewn nothing_sewn(const Frame& frame) {
  return {Mask(frame.size(), 0), std::vector<std::int8_t>(frame.size(), -1),
          std::vector<int>(frame.size(), 0)};
}

}  // namespace

Sewn paint_thread(const stitch::Plan& plan, const Frame& frame) {
  Sewn sewn = nothing_sewn(frame);
  each_top_stitch(plan, [&](const stitch::Block& block, int i) {
    paint_capsule(frame, {plan.x[i - 1], plan.y[i - 1]}, {plan.x[i], plan.y[i]}, block.thread,
                  block.object, sewn);
  });
  return sewn;
}

Seen paint_all(const stitch::Plan& plan, const Frame& frame) {
  Sewn sewn = nothing_sewn(frame);  // `object` holds the layer
  for (const stitch::Block& block : plan.blocks) {
    for (int i = std::max(1, block.first); i < block.first + block.count; ++i) {
      if (!stitch::has_thread(plan, i)) continue;
      paint_capsule(frame, {plan.x[i - 1], plan.y[i - 1]}, {plan.x[i], plan.y[i]}, block.thread,
                    int(block.layer) + 1, sewn);
    }
  }
  return {Mask(sewn.object.begin(), sewn.object.end()), std::move(sewn.top)};
}

Mask thread_mask(const stitch::Plan& plan, int thread, const Frame& frame) {
  Sewn sewn = nothing_sewn(frame);
  each_top_stitch(plan, [&](const stitch::Block& block, int i) {
    if (block.thread != thread) return;
    paint_capsule(frame, {plan.x[i - 1], plan.y[i - 1]}, {plan.x[i], plan.y[i]}, thread,
                  block.object, sewn);
  });
  return std::move(sewn.count);
}

Colours::Colours(const stitch::Plan& plan) {
  for (const stitch::PlanThread& thread : plan.threads)
    threads.push_back(artwork::to_lab(rgb_of(thread.rgb)));
}

int Colours::thread_of(std::uint32_t rgb) {
  const auto found = nearest.find(rgb);
  if (found != nearest.end()) return found->second;
  const artwork::Lab lab = artwork::to_lab(rgb_of(rgb));
  int best = 0;
  for (int i = 1; i < int(threads.size()); ++i) {
    if (artwork::difference(lab, threads[i]) < artwork::difference(lab, threads[best])) best = i;
  }
  return nearest[rgb] = best;
}

}  // namespace quality
