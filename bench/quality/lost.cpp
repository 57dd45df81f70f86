#include "lost.h"

namespace quality {
namespace {

struct Extent {
  int x0 = 1 << 30, y0 = 1 << 30, x1 = -1, y1 = -1;

  void add(int x, int y) {
    x0 = std::min(x0, x), x1 = std::max(x1, x);
    y0 = std::min(y0, y), y1 = std::max(y1, y);
  }
  double cells() const { return std::hypot(x1 - x0 + 1, y1 - y0 + 1); }
};

}  // namespace

int lost_features(const Painted& art, const Sewn& sewn, Colours& colours, const Frame& frame) {
  Mask kept(frame.size(), 1);
  for (std::size_t i = 0; i < frame.size(); ++i) {
    if (art.is_art[i] == 0) continue;
    const bool shows =
        sewn.count[i] != 0 && !colours.is_wrong(colours.thread_of(art.rgb[i]), sewn.top[i]);
    kept[i] = shows ? 1 : 0;
  }
  // Middles of discs that are lost; they reach half a width further on all sides.
  const std::vector<float> to_kept = distance_to(kept, frame);
  std::vector<int> key(frame.size(), 0);
  for (std::size_t i = 0; i < frame.size(); ++i)
    key[i] = to_kept[i] < 1e8F && to_kept[i] >= kLostWideMm / 2 ? 1 : 0;
  int n = 0;
  const std::vector<int> label = parts(key, frame, n);
  std::vector<Extent> extents(static_cast<std::size_t>(n) + 1);
  for (std::size_t i = 0; i < frame.size(); ++i) {
    if (label[i] == 0) continue;
    const auto width = static_cast<std::size_t>(frame.width);
    extents[static_cast<std::size_t>(label[i])].add(int(i % width), int(i / width));
  }
  int n_lost = 0;
  for (int k = 1; k <= n; ++k) {
    const double core_mm = extents[static_cast<std::size_t>(k)].cells() * frame.pitch;
    n_lost += core_mm + kLostWideMm >= kLostLongMm;
  }
  return n_lost;
}

}  // namespace quality
