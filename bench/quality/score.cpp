#include "score.h"

#include <algorithm>
#include <map>
#include <unordered_map>

namespace quality {
namespace {

using namespace buckram;

constexpr double kThreadMm = 0.4;
constexpr double kSpillMm = 0.2;
constexpr double kSameColour = 12;  // CIEDE2000

double per_cent(double part, double whole) {
  return whole > 0 ? 100 * part / whole : 0;
}

double quantile(std::vector<float>& values, double q) {
  if (values.empty()) return 0;
  const auto at = values.begin() + static_cast<std::ptrdiff_t>(q * double(values.size() - 1));
  std::nth_element(values.begin(), at, values.end());
  return *at;
}

struct Sewn {
  Mask count;                    // threads over the cell, at most 255
  std::vector<std::int8_t> top;  // index of the topmost thread, -1 where none
};

void paint_capsule(const Frame& frame, Spot a, Spot b, int thread, Sewn& sewn) {
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
    }
  }
}

// Calls visit(block, i) for every stitch i (thread between i-1 and i) of the top layer.
template <class Visit>
void each_top_stitch(const stitch::Plan& plan, const Visit& visit) {
  for (const stitch::Block& block : plan.blocks) {
    if (block.layer != stitch::Layer::top) continue;
    for (int i = std::max(1, block.first); i < block.first + block.count; ++i) {
      if (plan.op[i] == stitch::Op::sew && plan.op[i - 1] == stitch::Op::sew) visit(block, i);
    }
  }
}

Sewn paint_thread(const stitch::Plan& plan, const Frame& frame) {
  Sewn sewn{Mask(frame.size(), 0), std::vector<std::int8_t>(frame.size(), -1)};
  each_top_stitch(plan, [&](const stitch::Block& block, int i) {
    paint_capsule(frame, {plan.x[i - 1], plan.y[i - 1]}, {plan.x[i], plan.y[i]}, block.thread,
                  sewn);
  });
  return sewn;
}

// Which cells lie in what the planner says it left out: visible artwork that no object covers.
Mask left_out_mask(const job::Planned& planned, const Frame& frame, const Mask& is_art) {
  std::vector<geometry::Polygons> visible, covered;
  for (const auto& region : planned.regions.regions) visible.push_back(region.visible);
  for (const auto& object : planned.objects) covered.push_back(object.outline);
  const geometry::Polygons out =
      geometry::subtract(geometry::unite(visible), geometry::unite(covered));
  Mask mask(frame.size(), 0);
  for (const geometry::Polygon& polygon : out) {
    const geometry::Box box = geometry::bounds(polygon);
    // the turned box of the polygon
    double u0 = 1e9, v0 = 1e9, u1 = -1e9, v1 = -1e9;
    for (const double x : {box.x0, box.x1}) {
      for (const double y : {box.y0, box.y1}) {
        const Spot c = frame.cells_of({x, y});
        u0 = std::min(u0, c.x), u1 = std::max(u1, c.x), v0 = std::min(v0, c.y),
        v1 = std::max(v1, c.y);
      }
    }
    for (int j = std::max(0, int(v0)); j <= std::min(frame.height - 1, int(v1)); ++j) {
      for (int i = std::max(0, int(u0)); i <= std::min(frame.width - 1, int(u1)); ++i) {
        const std::size_t at = std::size_t(j) * frame.width + i;
        if (is_art[at] == 0 || mask[at] != 0) continue;
        const Spot p = frame.place_of(i + 0.5, j + 0.5);
        if (geometry::contains(polygon, {p.x, p.y})) mask[at] = 1;
      }
    }
  }
  return mask;
}

artwork::Rgb rgb_of(std::uint32_t v) {
  return {std::uint8_t(v >> 16U), std::uint8_t(v >> 8U), std::uint8_t(v)};
}

artwork::Rgb rgb_of(const std::string& hex) {
  return rgb_of(static_cast<std::uint32_t>(std::stoul(hex.substr(1), nullptr, 16)));
}

struct Colours {
  std::vector<artwork::Lab> threads;
  std::unordered_map<std::uint32_t, int> nearest;  // artwork colour to thread

  int thread_of(std::uint32_t rgb) {
    const auto found = nearest.find(rgb);
    if (found != nearest.end()) return found->second;
    const artwork::Lab lab = artwork::to_lab(rgb_of(rgb));
    int best = 0;
    for (int i = 1; i < int(threads.size()); ++i) {
      if (difference(lab, threads[i]) < difference(lab, threads[best])) best = i;
    }
    return nearest[rgb] = best;
  }
};

// What is sewn with gaps between threads closed: the edge that an eye sees. Grown and shrunk by
// 0.15 mm (a morphological closing), so corners and edges of convex shapes stay where they are.
Mask closed(const Sewn& sewn, const Frame& frame) {
  constexpr float kCloseMm = 0.15F;
  Mask grown(frame.size()), outside(frame.size()), kept(frame.size());
  for (std::size_t i = 0; i < frame.size(); ++i) grown[i] = sewn.count[i] != 0;
  const std::vector<float> to_thread = distance_to(grown, frame);
  for (std::size_t i = 0; i < frame.size(); ++i) outside[i] = to_thread[i] > kCloseMm;
  const std::vector<float> to_outside = distance_to(outside, frame);
  for (std::size_t i = 0; i < frame.size(); ++i) {
    kept[i] = grown[i] != 0 || (outside[i] == 0 && to_outside[i] > kCloseMm);
  }
  return kept;
}

void score_edges(const Mask& art, const Sewn& sewn, const Frame& frame, Score& score) {
  Mask inside(frame.size()), outside(frame.size());
  for (std::size_t i = 0; i < frame.size(); ++i) inside[i] = art[i], outside[i] = art[i] == 0;
  const std::vector<float> to_art = distance_to(inside, frame),
                           to_free = distance_to(outside, frame);
  const Mask shape = closed(sewn, frame);
  std::vector<float> errors;
  const std::size_t w = frame.width;
  for (std::size_t at = w; at + w < frame.size(); ++at) {
    if (shape[at] == 0) continue;
    const bool edge =
        shape[at - 1] == 0 || shape[at + 1] == 0 || shape[at - w] == 0 || shape[at + w] == 0;
    if (!edge) continue;
    const float half = float(frame.pitch) / 2;
    errors.push_back(art[at] != 0 ? half - to_free[at] : to_art[at] - half);
  }
  score.edge_p5 = quantile(errors, 0.05);
  score.edge_p50 = quantile(errors, 0.5);
  score.edge_p95 = quantile(errors, 0.95);
  for (float& e : errors) e = std::abs(e);
  score.edge_abs_p95 = quantile(errors, 0.95);
  double spilled = 0, total = 0, hole = 0;
  Mask covered(frame.size());
  for (std::size_t i = 0; i < frame.size(); ++i) {
    total += art[i];
    spilled += sewn.count[i] != 0 && art[i] == 0 && to_art[i] > kSpillMm;
    covered[i] = sewn.count[i] != 0 || art[i] == 0;
  }
  const std::vector<float> to_covered = distance_to(covered, frame);
  for (std::size_t i = 0; i < frame.size(); ++i) {
    if (to_covered[i] < 1e8F) hole = std::max(hole, double(to_covered[i]));
  }
  score.spilled = per_cent(spilled, total);
  score.largest_hole_mm = 2 * hole;
}

void score_cover(const Painted& art, const Sewn& sewn, const Mask& left_out, Colours& colours,
                 const Frame& frame, Score& score) {
  std::vector<int> key(frame.size(), 0);
  double total = 0, missed = 0, wrong = 0, out = 0, twice = 0, thrice = 0, covered = 0;
  for (std::size_t i = 0; i < frame.size(); ++i) {
    if (art.is_art[i] == 0) continue;
    ++total;
    const int wanted = colours.thread_of(art.rgb[i]);
    key[i] = wanted + 1;
    if (left_out[i] != 0) ++out;
    if (sewn.count[i] == 0) {
      missed += left_out[i] == 0;
      continue;
    }
    ++covered;
    twice += sewn.count[i] >= 2, thrice += sewn.count[i] >= 3;
    wrong +=
        artwork::difference(colours.threads[wanted], colours.threads[sewn.top[i]]) >= kSameColour;
  }
  score.missed = per_cent(missed, total);
  score.left_out = per_cent(out, total);
  score.wrong_colour = per_cent(wrong, total);
  score.covered_twice = per_cent(twice, covered);
  score.covered_thrice = per_cent(thrice, covered);
  int n = 0;
  const std::vector<int> label = parts(key, frame, n);
  std::vector<double> cells(n + 1, 0), bare(n + 1, 0), out_of(n + 1, 0);
  for (std::size_t i = 0; i < frame.size(); ++i) {
    if (label[i] == 0) continue;
    ++cells[label[i]];
    bare[label[i]] += sewn.count[i] == 0 && left_out[i] == 0;
    out_of[label[i]] += left_out[i] != 0;
  }
  const double least_cells = 0.5 / (frame.pitch * frame.pitch);  // 0.5 mm2
  for (int k = 1; k <= n; ++k) {
    if (cells[k] < least_cells || out_of[k] > 0.5 * cells[k]) continue;
    score.worst_feature = std::max(score.worst_feature, per_cent(bare[k], cells[k]));
  }
}

// Thread laid on top against what the objects' areas ask for.
double thread_ratio(const job::Planned& planned) {
  double wanted = 0, spent = 0;
  for (const digitise::Object& object : planned.objects) {
    const double area = geometry::area(object.outline);
    switch (digitise::kind(object)) {
      case stitch::Kind::fill:
        wanted += area / 0.40;
        break;
      case stitch::Kind::column:
        wanted += area / 0.20;
        break;
      case stitch::Kind::run:
        wanted += area / kThreadMm;
        break;
    }
  }
  const stitch::Plan& plan = *planned.plan;
  each_top_stitch(plan, [&](const stitch::Block&, int i) {
    spent += std::hypot(plan.x[i] - plan.x[i - 1], plan.y[i] - plan.y[i - 1]);
  });
  return wanted > 0 ? spent / wanted : 0;
}

void score_stitches(const job::Planned& planned, Score& score) {
  const stitch::Plan& plan = *planned.plan;
  std::map<std::pair<int, int>, std::vector<Spot>> holes;  // by object and layer
  double n = 0, n_short = 0;
  for (const stitch::Block& block : plan.blocks) {
    for (int i = block.first; i < block.first + block.count; ++i) {
      if (plan.op[i] != stitch::Op::sew) continue;
      ++score.stitches;
      if (block.layer == stitch::Layer::lock) continue;
      holes[{block.object, int(block.layer)}].push_back({plan.x[i], plan.y[i]});
      if (i == 0 || plan.op[i - 1] != stitch::Op::sew) continue;
      ++n;
      const double length = std::hypot(plan.x[i] - plan.x[i - 1], plan.y[i] - plan.y[i - 1]);
      // A row turn steps about one row across between two stitches that run along rows.
      const bool turn = block.layer == stitch::Layer::top && length < 0.75;
      n_short += length < 0.8 && !turn;
    }
  }
  double crowded = 0, all = 0;
  for (auto& [key, spots] : holes) {
    std::sort(spots.begin(), spots.end(),
              [](Spot a, Spot b) { return a.x < b.x || (a.x == b.x && a.y < b.y); });
    for (std::size_t i = 0; i < spots.size(); ++i) {
      int near = 1;
      bool close = false;
      for (int side : {-1, 1}) {
        for (std::ptrdiff_t k = std::ptrdiff_t(i) + side;
             k >= 0 && k < std::ptrdiff_t(spots.size()) && std::abs(spots[k].x - spots[i].x) <= 0.5;
             k += side) {
          const double d = std::hypot(spots[k].x - spots[i].x, spots[k].y - spots[i].y);
          near += d <= 0.5;
          close = close || d < 0.25;
        }
      }
      ++all, crowded += close;
      score.most_in_disc = std::max(score.most_in_disc, near);
    }
  }
  score.crowded = per_cent(crowded, all);
  score.short_stitches = per_cent(n_short, n);
}

}  // namespace

bool score(const Picture& picture, const job::Planned& planned, double pitch, Score& result) {
  const geometry::Box& box = planned.regions.box;
  const Frame frame = frame_round(box.x0, box.y0, box.x1, box.y1, 2, pitch);
  const geometry::Affine& p = planned.placement;
  const double matrix[6] = {p.a, p.b, p.c, p.d, p.e, p.f};
  Painted art;
  if (!paint_artwork(picture.path, matrix, frame, art)) return false;
  const Sewn sewn = paint_thread(*planned.plan, frame);
  Colours colours;
  for (const stitch::PlanThread& thread : planned.plan->threads) {
    colours.threads.push_back(artwork::to_lab(rgb_of(thread.rgb)));
  }
  score_cover(art, sewn, left_out_mask(planned, frame, art.is_art), colours, frame, result);
  score_edges(art.is_art, sewn, frame, result);
  score_stitches(planned, result);
  result.thread_ratio = thread_ratio(planned);
  const sequence::Order& order = planned.order;
  result.trims = order.trims, result.trims_bound = order.islands_bound;
  result.changes = order.thread_changes, result.changes_bound = order.least_thread_changes;
  result.visible_mm = order.visible_mm, result.visible_bound_mm = order.least_visible_mm;
  return true;
}

}  // namespace quality
