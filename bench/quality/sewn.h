// Thread on the grid, and the colours that it is meant to show.
#pragma once

#include "picture.h"

#include "job/job.h"

#include <algorithm>
#include <cmath>
#include <unordered_map>
#include <vector>

namespace quality {

inline constexpr double kThreadMm = 0.4;
inline constexpr double kSameColour = 12;  // CIEDE2000

struct Sewn {
  Mask count;                    // threads over the cell, at most 255
  std::vector<std::int8_t> top;  // index of the topmost thread, -1 where none
  std::vector<int> object;       // id of the object that sews the topmost, 0 where none
};

// The thread of all stitches of the top layer, as capsules kThreadMm wide.
Sewn paint_thread(const buckram::stitch::Plan& plan, const Frame& frame);

// Of every cell the layer whose thread lies on top of all others, locks, under-stitching and travel
// included: its number plus one; 0 where there is none. `top` is the index of its thread.
struct Seen {
  Mask layer;
  std::vector<std::int8_t> top;
};
Seen paint_all(const buckram::stitch::Plan& plan, const Frame& frame);

// Where one thread lies, whatever is sewn over it.
Mask thread_mask(const buckram::stitch::Plan& plan, int thread, const Frame& frame);

// Calls visit(cell) for every cell whose middle lies within the polygons.
template <class Visit>
void each_cell(const buckram::geometry::Polygons& polygons, const Frame& frame,
               const Visit& visit) {
  std::vector<std::vector<double>> crossings(static_cast<std::size_t>(frame.height));
  const auto add = [&](const buckram::geometry::Ring& ring) {
    for (std::size_t e = 0; e < ring.size(); ++e) {
      const auto& p = ring[e];
      const auto& q = ring[(e + 1) % ring.size()];
      Spot a = frame.cells_of({p.x, p.y}), b = frame.cells_of({q.x, q.y});
      if (a.y > b.y) std::swap(a, b);
      const int j0 = std::max(0, int(std::ceil(a.y - 0.5)));
      const int j1 = std::min(frame.height, int(std::ceil(b.y - 0.5)));  // half-open
      for (int j = j0; j < j1; ++j)
        crossings[static_cast<std::size_t>(j)].push_back(a.x + (b.x - a.x) * (j + 0.5 - a.y) /
                                                                   (b.y - a.y));
    }
  };
  for (const auto& polygon : polygons) {
    add(polygon.outer);
    for (const auto& hole : polygon.holes) add(hole);
  }
  for (int j = 0; j < frame.height; ++j) {
    std::vector<double>& row = crossings[static_cast<std::size_t>(j)];
    std::sort(row.begin(), row.end());
    for (std::size_t k = 0; k + 1 < row.size(); k += 2) {
      const int i0 = std::max(0, int(std::ceil(row[k] - 0.5)));
      const int i1 = std::min(frame.width, int(std::ceil(row[k + 1] - 0.5)));
      for (int i = i0; i < i1; ++i) visit(std::size_t(j) * frame.width + i);
    }
  }
}

// Calls visit(block, i) for every stitch i (thread between i-1 and i) of the top layer.
template <class Visit>
void each_top_stitch(const buckram::stitch::Plan& plan, const Visit& visit) {
  using buckram::stitch::Op;
  for (const buckram::stitch::Block& block : plan.blocks) {
    if (block.layer != buckram::stitch::Layer::top) continue;
    for (int i = std::max(1, block.first); i < block.first + block.count; ++i) {
      if (plan.op[i] == Op::sew && plan.op[i - 1] == Op::sew) visit(block, i);
    }
  }
}

struct Colours {
  std::vector<buckram::artwork::Lab> threads;
  std::unordered_map<std::uint32_t, int> nearest;  // artwork colour to thread

  explicit Colours(const buckram::stitch::Plan& plan);
  int thread_of(std::uint32_t rgb);
  bool is_wrong(int wanted, int shown) const {
    return buckram::artwork::difference(threads[wanted], threads[shown]) >= kSameColour;
  }
};

}  // namespace quality
