#include "score.h"

#include "lost.h"
#include "row_gaps.h"
#include "sewn.h"

#include <algorithm>
#include <map>

namespace quality {
namespace {

using namespace buckram;

constexpr double kSpillMm = 0.2;

double per_cent(double part, double whole) {
  return whole > 0 ? 100 * part / whole : 0;
}

double quantile(std::vector<float>& values, double q) {
  if (values.empty()) return 0;
  const auto at = values.begin() + static_cast<std::ptrdiff_t>(q * double(values.size() - 1));
  std::nth_element(values.begin(), at, values.end());
  return *at;
}

// Which cells lie in what the planner says it left out: visible artwork that no object covers.
Mask left_out_mask(const job::Planned& planned, const Frame& frame, const Mask& is_art) {
  std::vector<geometry::Polygons> visible, covered;
  for (const auto& region : planned.regions.regions) visible.push_back(region.visible);
  for (const auto& object : planned.objects) covered.push_back(object.outline);
  const geometry::Polygons out =
      geometry::subtract(geometry::unite(visible), geometry::unite(covered));
  Mask mask(frame.size(), 0);
  each_cell(out, frame, [&](std::size_t at) { mask[at] = is_art[at]; });
  return mask;
}

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
  double spilled = 0, past = 0, total = 0, hole = 0;
  Mask covered(frame.size());
  for (std::size_t i = 0; i < frame.size(); ++i) {
    total += art[i];
    past += sewn.count[i] != 0 && art[i] == 0;
    spilled += sewn.count[i] != 0 && art[i] == 0 && to_art[i] > kSpillMm;
    covered[i] = sewn.count[i] != 0 || art[i] == 0;
  }
  const std::vector<float> to_covered = distance_to(covered, frame);
  for (std::size_t i = 0; i < frame.size(); ++i) {
    if (to_covered[i] < 1e8F) hole = std::max(hole, double(to_covered[i]));
  }
  score.spilled = per_cent(spilled, total);
  score.outside = per_cent(past, total);
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
    wrong += colours.is_wrong(wanted, sewn.top[i]);
  }
  score.missed = per_cent(missed, total);
  score.left_out = per_cent(out, total);
  score.wrong_colour = per_cent(wrong, total);
  score.covered_twice = per_cent(twice, covered);
  score.covered_thrice = per_cent(thrice, covered);
  int n = 0;
  const std::vector<int> label = parts(key, frame, n);
  std::vector<double> cells(n + 1, 0), bare(n + 1, 0), out_of(n + 1, 0);
  std::vector<Spot> bare_sum(n + 1, {0, 0});  // of their places, in cells
  for (std::size_t i = 0; i < frame.size(); ++i) {
    if (label[i] == 0) continue;
    ++cells[label[i]];
    out_of[label[i]] += left_out[i] != 0;
    if (sewn.count[i] != 0 || left_out[i] != 0) continue;
    ++bare[label[i]];
    bare_sum[label[i]].x += double(i % std::size_t(frame.width)) + 0.5;
    bare_sum[label[i]].y += double(i / std::size_t(frame.width)) + 0.5;
  }
  const double least_cells = 0.5 / (frame.pitch * frame.pitch);  // 0.5 mm2
  for (int k = 1; k <= n; ++k) {
    if (cells[k] < least_cells || out_of[k] > 0.5 * cells[k]) continue;
    const double share = per_cent(bare[k], cells[k]);
    if (share <= score.worst_feature) continue;
    score.worst_feature = share;
    score.worst_at = frame.place_of(bare_sum[k].x / bare[k], bare_sum[k].y / bare[k]);
    score.worst_mm2 = cells[k] * frame.pitch * frame.pitch;
  }
}

double top_thread_mm(const stitch::Plan& plan) {
  double spent = 0;
  each_top_stitch(plan, [&](const stitch::Block&, int i) {
    spent += std::hypot(plan.x[i] - plan.x[i - 1], plan.y[i] - plan.y[i - 1]);
  });
  return spent;
}

// Thread laid on top against what the objects' areas ask for.
double thread_ratio(const job::Planned& planned) {
  double wanted = 0;
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
  return wanted > 0 ? top_thread_mm(*planned.plan) / wanted : 0;
}

void score_stitches(const job::Planned& planned, Score& score) {
  const stitch::Plan& plan = *planned.plan;
  std::map<std::pair<int, int>, std::vector<Spot>> holes;  // by object and layer
  double n = 0, n_short = 0;
  std::map<int, bool> is_fill;
  for (const stitch::PlanObject& object : plan.objects)
    is_fill[object.id] = object.kind == stitch::Kind::fill;
  for (const stitch::Block& block : plan.blocks) {
    for (int i = block.first; i < block.first + block.count; ++i) {
      if (plan.op[i] != stitch::Op::sew) continue;
      ++score.stitches;
      if (block.layer == stitch::Layer::lock) continue;
      holes[{block.object, int(block.layer)}].push_back({plan.x[i], plan.y[i]});
      if (i == 0 || plan.op[i - 1] != stitch::Op::sew) continue;
      ++n;
      const double length = std::hypot(plan.x[i] - plan.x[i - 1], plan.y[i] - plan.y[i - 1]);
      // A fill's row turn steps about one row across between two stitches that run along rows.
      const bool turn = is_fill[block.object] && block.layer == stitch::Layer::top && length < 0.75;
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

bool paint_planned(const Picture& picture, const job::Planned& planned, double pitch, Frame& frame,
                   Painted& art) {
  const geometry::Box& box = planned.regions.box;
  frame = frame_round(box.x0, box.y0, box.x1, box.y1, 2, pitch);
  const geometry::Affine& p = planned.placement;
  const double matrix[6] = {p.a, p.b, p.c, p.d, p.e, p.f};
  return paint_artwork(picture.path, matrix, frame, art);
}

bool score(const Picture& picture, const job::Planned& planned, double pitch, Score& result) {
  Frame frame;
  Painted art;
  if (!paint_planned(picture, planned, pitch, frame, art)) return false;
  const Sewn sewn = paint_thread(*planned.plan, frame);
  Colours colours(*planned.plan);
  score_cover(art, sewn, left_out_mask(planned, frame, art.is_art), colours, frame, result);
  result.lost_features = lost_features(art, sewn, colours, frame);
  score_edges(art.is_art, sewn, frame, result);
  score_stitches(planned, result);
  result.thread_ratio = thread_ratio(planned);
  result.thread_m = top_thread_mm(*planned.plan) / 1000;
  result.even_rows = even_rows(*planned.plan);
  const sequence::Order& order = planned.order;
  result.trims = order.trims, result.trims_bound = order.islands_bound;
  result.changes = order.thread_changes, result.changes_bound = order.least_thread_changes;
  result.visible_mm = order.visible_mm, result.visible_bound_mm = order.least_visible_mm;
  return true;
}

}  // namespace quality
