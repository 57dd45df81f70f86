// The figures of one plan against its artwork.
#pragma once

#include "picture.h"

#include "job/job.h"

namespace quality {

struct Score {
  double missed = 0, spilled = 0, wrong_colour = 0, left_out = 0;  // per cent of the artwork
  double outside = 0;  // per cent of the artwork: thread past it by however little
  double edge_p5 = 0, edge_p50 = 0, edge_p95 = 0;  // mm, thread's edge against the artwork's
  double edge_abs_p95 = 0;
  double worst_feature = 0;    // per cent missed of the worst connected feature that is sewn at all
  Spot worst_at{0, 0};         // the middle of what is missed of it, on the chart
  double worst_mm2 = 0;        // its area
  int lost_features = 0;       // 0.8 x 2 mm or more that does not show (lost.h)
  double largest_hole_mm = 0;  // diameter of the largest uncovered disc
  double covered_twice = 0, covered_thrice = 0;  // per cent of the covered artwork
  double thread_ratio = 0;                       // top-layer thread / (objects' area / pitch)
  double thread_m = 0;                           // of the top layer
  double even_rows = 100;     // per cent of fills' rows within 10 % of 0.40 mm from the next
  double crowded = 0;         // per cent of penetrations with a neighbour nearer than 0.25 mm
  int most_in_disc = 0;       // penetrations within any 1 mm disc, same object and layer
  double short_stitches = 0;  // per cent of stitches under 0.8 mm, locks and row turns aside
  int stitches = 0, trims = 0, trims_bound = 0, changes = 0, changes_bound = 0;
  double visible_mm = 0, visible_bound_mm = 0;
  double plan_s = 0;  // artwork to plan
  int breaches = 0;   // craft limits broken
  std::string first_breach;
};

// The artwork as the plan places it, on a frame that holds it with 2 mm round it. False when
// librsvg cannot paint it.
bool paint_planned(const Picture& picture, const buckram::job::Planned& planned, double pitch,
                   Frame& frame, Painted& art);

// Coverage, edges and colours, at `pitch` mm. False when the artwork cannot be painted.
bool score(const Picture& picture, const buckram::job::Planned& planned, double pitch,
           Score& result);

}  // namespace quality
